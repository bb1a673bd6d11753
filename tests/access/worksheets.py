"""Records for the addresses of worksheets."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.worksheets import make_worksheet


def examples(people: dict[str, User]) -> dict[str, Any]:
    return {"worksheets/": make_worksheet(), "worksheets:worksheet-new-of": {"calculation": "wrench-adapter"}}

"""Values for the addresses of worksheets."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.worksheets import make_worksheet


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    own = {"pk": make_worksheet().pk}
    names = "worksheet change withdraw accept records what-if"
    return {"worksheets:new-of": {"calculation": "wrench-adapter"}} | {
        f"worksheets:{name}": own for name in names.split()
    }

"""Records for the addresses of replies."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.orders import make_line
from tests.factories.replies import make_reply


def examples(people: dict[str, User]) -> dict[str, Any]:
    return {"replies/": make_reply(order=make_line().order)}

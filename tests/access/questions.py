"""Values for the addresses of questions."""

from typing import Any

from django.contrib.auth.models import User


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    return {"questions:ask": {"name": "will-the-shaft-whip"}}

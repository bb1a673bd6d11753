"""Names for the addresses of calculations and questions."""

from typing import Any

from django.contrib.auth.models import User


def examples(people: dict[str, User]) -> dict[str, Any]:
    return {
        "calculate:calculation": {"name": "wrench-adapter"},
        "calculate:question": {"name": "will-the-shaft-whip"},
    }

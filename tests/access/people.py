"""A person for the addresses of people."""

from typing import Any

from django.contrib.auth.models import User


def examples(people: dict[str, User]) -> dict[str, Any]:
    return {"people/": people["fitter"]}

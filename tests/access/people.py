from typing import Any

from django.contrib.auth.models import User


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    one = {"pk": people["fitter"].pk}
    return dict.fromkeys(("people:person", "people:standing", "people:give-password"), one)

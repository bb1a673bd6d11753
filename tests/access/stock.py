"""Records for the addresses of the shelf."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.stock import make_movement, make_part, make_reservation


def examples(people: dict[str, User]) -> dict[str, Any]:
    part = make_part(shelf=5)
    return {
        "stock/": part,
        "stock/reservation/": make_reservation(part=part),
        "stock/movement/": make_movement(part=part, kind="taken", quantity=-1, reason="a bracket"),
    }

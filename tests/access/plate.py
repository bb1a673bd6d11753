"""Records for the addresses of plates."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.plate import make_left_out, make_plate


def examples(people: dict[str, User]) -> dict[str, Any]:
    sheet = make_plate()
    return {"plate/": sheet, "plate/left-out/": make_left_out(sheet)}

"""Pages of a hole."""

import pytest

from tests.factories.plate import make_left_out, make_plate
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def test_two_who_use_it_again_at_once_are_told(machinist):
    entry = make_left_out(make_plate())
    address = f"/plate/left-out/{entry.pk}/use-again/"
    entry.reason = "behind the starter and the heat shield"
    entry.save()
    said = collapsed(machinist.post(address, {"version": "1", "reason": "starter moved"}))
    entry.refresh_from_db()
    assert not entry.is_deleted
    assert "starter moved" in said

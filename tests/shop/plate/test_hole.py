"""Pages of a hole."""

import pytest

from shop.plate.models import OmittedHole
from tests.factories.plate import make_left_out, make_plate
from tests.pages import collapsed, press

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


def token(client, address):
    return collapsed(client.get(address)).split('name="once" value="')[1].split('"')[0]


def leave_out(client, sheet, **sent):
    address = f"/plate/{sheet.pk}/bolts/leave-out/"
    data = {"place": "engine:B3", "kind": "no access", "reason": "behind the starter", "once": token(client, address)}
    return client.post(address, {**data, **sent}, follow=True)


def bolts(client, sheet, query=""):
    return collapsed(client.get(f"/plate/{sheet.pk}/bolts/?{query}"))


def test_a_hole_is_left_out_with_reason_person_and_time_and_used_again_with_a_reason(machinist):
    sheet = make_plate()
    said = collapsed(leave_out(machinist, sheet))
    assert "behind the starter" in said
    entry = OmittedHole.objects.get()
    assert entry.person.username == "machinist"
    assert entry.history.get().history_user == entry.person

    address = f"/plate/left-out/{entry.pk}/use-again/"
    press(machinist, address, reason="starter moved")
    entry.refresh_from_db()
    assert entry.deleted_reason == "starter moved"
    assert entry.deleted_by == entry.person
    assert "Used again since" in bolts(machinist, sheet)
    assert entry.history.count() == 2


def test_a_hole_is_left_out_once_with_a_reason_and_two_stay_a_side(machinist):
    sheet = make_plate()
    assert "Fill this in." in collapsed(leave_out(machinist, sheet, reason=""))
    leave_out(machinist, sheet)
    # Every hole that is left out already is no choice any more.
    assert "not in the list any more" in collapsed(leave_out(machinist, sheet))
    leave_out(machinist, sheet, place="engine:B2")
    leave_out(machinist, sheet, place="engine:B1")
    assert "keeps 2 holes or more" in collapsed(leave_out(machinist, sheet, place="engine:D1"))
    assert OmittedHole.objects.count() == 3

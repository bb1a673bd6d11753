"""Two people change one record: the second is shown both versions and loses nothing."""

from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from specs.models import Component, Stale
from tests.pages import collapsed

pytestmark = pytest.mark.urls("tests.shop.base.pages_urls")


@pytest.fixture
def box(db: None) -> Component:
    return Component.objects.create(kind="gearbox", maker="Teskel", name="QZ-5", notes="as bought")


def page_of(box: Component) -> str:
    return f"/test/{box.pk}/"


def form(box: Component, **changes: Any) -> dict[str, Any]:
    kept = {name: getattr(box, name) for name in ("kind", "maker", "name", "notes", "version")}
    return {**kept, **changes}


def saved(box: Component) -> Component:
    return Component.objects.get(pk=box.pk)


def test_a_save_from_the_version_on_record_is_written(fitter: Client, box: Component) -> None:
    response = fitter.post(page_of(box), form(box, notes="cleaned"))
    assert response.status_code == 302
    assert saved(box).notes == "cleaned"
    assert saved(box).version == box.version + 1


def test_the_second_save_is_told_and_shown_both(fitter: Client, buyer: Client, box: Component) -> None:
    buyer.post(page_of(box), form(box, notes="paid for"))
    response = fitter.post(page_of(box), form(box, notes="cleaned"))
    page = collapsed(response)
    assert response.status_code == 200
    assert "Yours: <b>cleaned</b>" in page
    assert "On record: <b>paid for</b>" in page
    assert "Person" in page.split("conflict-heading")[2]  # who saved in between
    assert page.count("checked") == 0  # both changed it: nobody chooses for them
    assert "<title>Error: " in page
    assert saved(box).notes == "paid for"


def test_a_clock_set_back_names_the_person_who_saved_last(fitter: Client, buyer: Client, box: Component) -> None:
    buyer.post(page_of(box), form(box, notes="paid for"))
    last = saved(box).history.get(version=saved(box).version)
    last.history_date -= timedelta(days=400)
    last.save()
    page = collapsed(fitter.post(page_of(box), form(box, notes="cleaned")))
    assert f"{last.history_user.get_full_name()} saved this" in page


@pytest.mark.parametrize(("keep", "kept"), [("typed", "cleaned"), ("stored", "paid for")])
def test_the_chosen_version_is_kept(fitter: Client, buyer: Client, box: Component, keep: str, kept: str) -> None:
    buyer.post(page_of(box), form(box, notes="paid for"))
    answer = {"version": box.version + 1, "differs": ["notes"], "keep-notes": keep}
    response = fitter.post(page_of(box), form(box, notes="cleaned", **answer))
    assert response.status_code == 302
    assert saved(box).notes == kept
    assert saved(box).history.filter(notes="paid for").exists()


def test_without_a_choice_nothing_is_written(fitter: Client, buyer: Client, box: Component) -> None:
    buyer.post(page_of(box), form(box, notes="paid for"))
    response = fitter.post(page_of(box), form(box, notes="cleaned", version=box.version + 1, differs=["notes"]))
    page = collapsed(response)
    assert '<a href="#differs-notes">Notes: Choose which of the two to keep.</a>' in page
    assert page.count("Choose which of the two to keep.") == 2
    assert saved(box).notes == "paid for"


def test_what_only_one_changed_comes_with_that_change_chosen(fitter: Client, buyer: Client, box: Component) -> None:
    buyer.post(page_of(box), form(box, maker="Orvane"))
    page = fitter.post(page_of(box), form(box, notes="cleaned"))
    page = collapsed(page)
    assert 'name="keep-maker" value="stored" checked' in page
    assert 'name="keep-notes" value="typed" checked' in page
    both = {"version": box.version + 1, "differs": ["maker", "notes"], "keep-maker": "stored", "keep-notes": "typed"}
    fitter.post(page_of(box), form(box, notes="cleaned", **both))
    assert (saved(box).maker, saved(box).notes) == ("Orvane", "cleaned")


@pytest.mark.parametrize("version", ["", "soon", "0", "999", "-1", "9" * 40])
def test_a_missing_or_broken_version_is_refused(fitter: Client, box: Component, version: str) -> None:
    response = fitter.post(page_of(box), form(box, notes="cleaned", version=version))
    assert response.status_code == 200
    assert "Yours: <b>cleaned</b>" in response.content.decode()
    assert saved(box).notes == "as bought"


def test_a_third_save_during_the_choice_shows_the_newer_version(fitter: Client, buyer: Client, box: Component) -> None:
    buyer.post(page_of(box), form(box, notes="paid for"))
    buyer.post(page_of(box), form(saved(box), notes="paid twice"))
    answer = {"version": box.version + 1, "differs": ["notes"], "keep-notes": "typed"}
    page = fitter.post(page_of(box), form(box, notes="cleaned", **answer)).content.decode()
    assert "On record: <b>paid twice</b>" in page
    assert saved(box).notes == "paid twice"


def test_an_error_on_top_of_a_conflict_keeps_both(fitter: Client, buyer: Client, box: Component) -> None:
    buyer.post(page_of(box), form(box, notes="paid for"))
    page = fitter.post(page_of(box), form(box, notes="cleaned", name="")).content.decode()
    assert "Fill this in." in page
    assert "On record: <b>paid for</b>" in page
    assert ">\ncleaned</textarea>" in page


def test_the_same_change_sent_twice_is_no_conflict(fitter: Client, box: Component) -> None:
    sent = form(box, notes="cleaned")
    assert fitter.post(page_of(box), sent).status_code == 302
    assert fitter.post(page_of(box), sent).status_code == 302
    assert saved(box).version == box.version + 1


def test_who_saved_is_in_the_history(fitter: Client, people: dict[str, User], box: Component) -> None:
    fitter.post(page_of(box), form(box, notes="cleaned"))
    assert saved(box).history.first().history_user == people["fitter"]


def test_an_older_reading_cannot_be_saved_by_the_program_either(box: Component) -> None:
    old = saved(box)
    box.notes = "first"
    box.save()
    old.notes = "second"
    with pytest.raises(Stale):
        old.save()
    assert saved(box).notes == "first"
    assert old.version == 1


def test_saving_named_fields_raises_the_version_too(box: Component) -> None:
    box.notes = "cleaned"
    box.save(update_fields=["notes"])
    assert saved(box).version == 2


def test_a_press_that_came_second_shows_what_was_typed(fitter: Client, box: Component) -> None:
    sent = {"note": "a long day's typing", "password": "secret-words", "version": "4417", "once": "a-token"}
    refused = fitter.post(f"/test/{box.pk}/overtaken/", sent)
    page = collapsed(refused)
    assert refused.status_code == 409
    assert "Nothing was written. What you typed:" in page
    assert "a long day&#x27;s typing" in page
    assert "secret-words" not in page
    assert "4417" not in page
    assert saved(box).version == box.version


def test_a_form_sent_empty_is_answered_plainly(fitter: Client, box: Component) -> None:
    assert fitter.post(page_of(box), {}).status_code == 200
    assert saved(box).name == "QZ-5"

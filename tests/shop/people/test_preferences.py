"""Pages of a preferences."""

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shop.people.models import Preferences
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db


CHOSEN = {"units": "inch", "paper": "Letter", "theme": "dark", "version": 1}


def test_preferences_hold_from_the_next_page_on(fitter: Client, people: dict[str, User]) -> None:
    response = fitter.post("/people/preferences/", CHOSEN, follow=True)
    page = response.content.decode()
    assert '<html lang="en-GB" data-theme="dark">' in page
    assert 'value="inch" id="id_units_1" checked' in page
    assert "Saved: preferences of fitter." in page


def test_the_key_to_the_search_box_can_be_turned_off(fitter: Client) -> None:
    assert 'aria-keyshortcuts="/"' in fitter.get("/").content.decode()
    fitter.post("/people/preferences/", CHOSEN)  # a box that is not ticked is not sent
    assert "aria-keyshortcuts" not in fitter.get("/").content.decode()


def test_one_persons_preferences_are_theirs(fitter: Client, buyer: Client, people: dict[str, User]) -> None:
    fitter.post("/people/preferences/", CHOSEN)
    assert 'data-theme="auto"' in buyer.get("/").content.decode()
    assert Preferences.objects.get().user == people["fitter"]


def test_a_choice_that_is_none_is_refused_in_words(fitter: Client) -> None:
    page = fitter.post("/people/preferences/", {**CHOSEN, "paper": "A3"}).content.decode()
    assert "This is not in the list any more. Choose again." in page


def test_two_devices_of_one_person_do_not_overwrite_each_other(fitter: Client) -> None:
    fitter.post("/people/preferences/", CHOSEN)
    page = fitter.post("/people/preferences/", {**CHOSEN, "units": "metric"}).content.decode()
    assert "Yours: <b>Metric: mm, N·m, kg</b>" in page
    assert "On record: <b>Inch: in, lbf·ft, lb</b>" in page


PASSWORD = "a long enough word"


@pytest.fixture
def ama(db: None) -> User:
    return make_person(username="ama", password=PASSWORD, roles=["fitter"])


def test_the_right_words_lead_to_the_page_that_was_asked_for(client: Client, ama: User) -> None:
    asked = client.get("/people/preferences/")
    response = client.post(asked["Location"], {"username": "ama", "password": PASSWORD, "next": "/people/preferences/"})
    assert response["Location"] == "/people/preferences/"

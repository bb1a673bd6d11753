"""What a person sets for themselves: units, paper, colours, password."""

from django.contrib.auth.models import User
from django.test import Client

from shop.people.models import Preferences

CHOSEN = {"units": "inch", "paper": "Letter", "theme": "dark", "version": 1}


def test_preferences_hold_from_the_next_page_on(fitter: Client, people: dict[str, User]) -> None:
    response = fitter.post("/people/preferences/", CHOSEN, follow=True)
    page = response.content.decode()
    assert '<html lang="en-GB" data-theme="dark">' in page
    assert 'value="inch" id="id_units_1" checked' in page
    assert "Saved: preferences of fitter." in page


def test_one_persons_preferences_are_theirs(fitter: Client, buyer: Client, people: dict[str, User]) -> None:
    fitter.post("/people/preferences/", CHOSEN)
    assert 'data-theme="auto"' in buyer.get("/").content.decode()
    assert Preferences.objects.get().user == people["fitter"]


def test_a_choice_that_is_none_is_refused_in_words(fitter: Client) -> None:
    page = fitter.post("/people/preferences/", {**CHOSEN, "paper": "A3"}).content.decode()
    assert "A3 is not one of the available choices" in page


def test_two_devices_of_one_person_do_not_overwrite_each_other(fitter: Client) -> None:
    fitter.post("/people/preferences/", CHOSEN)
    page = fitter.post("/people/preferences/", {**CHOSEN, "units": "metric"}).content.decode()
    assert "Yours: <b>Metric: mm, N m, kg</b>" in page
    assert "On record: <b>Inch: in, lbf ft, lb</b>" in page


def test_the_password_changes_for_who_knows_the_old_one(client: Client, people: dict[str, User]) -> None:
    ama = people["fitter"]
    ama.set_password("the old long word")
    ama.save()
    client.force_login(ama)
    sent = {"new_password1": "a new long word", "new_password2": "a new long word"}
    page = client.post("/people/password/", {**sent, "old_password": "guessed"}).content.decode()
    assert "Your old password was entered incorrectly" in page
    response = client.post("/people/password/", {**sent, "old_password": "the old long word"}, follow=True)
    assert "Your password is changed." in response.content.decode()
    ama.refresh_from_db()
    assert ama.check_password("a new long word")


def test_a_weak_password_is_refused_in_words(client: Client, people: dict[str, User]) -> None:
    ama = people["fitter"]
    ama.set_password("the old long word")
    ama.save()
    client.force_login(ama)
    sent = {"old_password": "the old long word", "new_password1": "12345", "new_password2": "12345"}
    page = client.post("/people/password/", sent).content.decode()
    assert "This password is too short" in page

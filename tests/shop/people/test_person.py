"""The owner decides who works here and in which role; every step keeps who did it."""

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from shop.people.models import StaffChange
from tests.factories.people import make_person
from tests.pages import collapsed, send
from tests.queries import queries_of

NEW = {
    "first_name": "Ida",
    "last_name": "Brook",
    "username": "ida",
    "role": "machinist",
    "password": "lathe and a long word",
    "once": "a-mark-that-a-form-was-given-0001",
}


def page_of(person: User) -> str:
    return f"/people/{person.pk}/"


def press(client: Client, person: User, what: str) -> str:
    return client.post(f"{page_of(person)}access/", {"do": what}, follow=True).content.decode()


def test_somebody_begins_and_can_sign_in(owner: Client) -> None:
    page = owner.post("/people/new/", NEW, follow=True)
    page = collapsed(page)
    assert "added as machinist, by Person" in page
    assert Client().post("/people/sign-in/", {"username": "ida", "password": NEW["password"]}).status_code == 302


def test_a_name_that_is_taken_is_refused_whatever_its_letters(owner: Client) -> None:
    make_person(username="Ida")
    assert "Somebody signs in as ida already." in owner.post("/people/new/", NEW).content.decode()


def test_a_password_never_comes_back_in_the_page(owner: Client) -> None:
    page = owner.post("/people/new/", {**NEW, "first_name": ""}).content.decode()
    assert NEW["password"] not in page
    assert 'value="Brook"' in page


def test_roles_are_given_and_taken(owner: Client, people: dict[str, User]) -> None:
    fitter = people["fitter"]
    assert "given the role buyer" in press(owner, fitter, "give-buyer")
    assert "no longer fitter" in press(owner, fitter, "take-fitter")
    press(owner, fitter, "take-fitter")
    assert [group.name for group in fitter.groups.all()] == ["buyer"]
    assert StaffChange.objects.filter(person=fitter).count() == 2


@pytest.mark.parametrize("what", ["take-owner", "left"])
def test_the_last_owner_stays(owner: Client, people: dict[str, User], what: str) -> None:
    assert "This is the last owner here." in press(owner, people["owner"], what)
    people["owner"].refresh_from_db()
    assert people["owner"].is_active
    assert people["owner"].groups.filter(name="owner").exists()


def test_the_last_owner_is_offered_no_way_out_and_may_what_owners_may(owner: Client, people: dict[str, User]) -> None:
    page = collapsed(owner.get(page_of(people["owner"])))
    assert "The last owner here: make somebody else an owner first." in page
    assert 'value="take-owner"' not in page
    assert "Mark as left" not in page
    assert "as owner" in page
    assert "May not see the shop" not in page
    make_person(username="second", roles=["owner"])
    assert 'value="take-owner"' in collapsed(owner.get(page_of(people["owner"])))


def test_on_a_phone_a_person_has_left_or_no_word_is_said(owner: Client, people: dict[str, User]) -> None:
    assert "has left" not in owner.get("/people/").content.decode()
    press(owner, people["fitter"], "left")
    assert '<span class="on-phone">has left</span>' in owner.get("/people/").content.decode()
    assert ",no," in owner.get("/people/?as=csv").content.decode()


def test_who_has_left_cannot_come_in_until_back(owner: Client, fitter: Client, people: dict[str, User]) -> None:
    press(owner, people["fitter"], "left")
    assert fitter.get("/").status_code == 302
    press(owner, people["fitter"], "back")
    assert fitter.get("/").status_code == 200


def test_a_forgotten_password_is_replaced_and_the_name_opened_again(owner: Client, people: dict[str, User]) -> None:
    at_the_door = Client()
    for _ in range(6):
        at_the_door.post("/people/sign-in/", {"username": "fitter", "password": "wrong"})
    owner.post(f"{page_of(people['fitter'])}password/", {"password": "another long word"})
    response = at_the_door.post("/people/sign-in/", {"username": "fitter", "password": "another long word"})
    assert response.status_code == 302


def test_the_list_takes_as_many_queries_for_twenty_as_for_one(owner: Client) -> None:
    few = queries_of(owner, "/people/")
    for _ in range(20):
        make_person(roles=["fitter"])
    # session, reader, reader's roles, count, people, their roles, preferences
    assert len(queries_of(owner, "/people/")) == len(few) == 8


def test_a_button_that_is_none_is_refused(owner: Client, people: dict[str, User]) -> None:
    assert owner.post(f"{page_of(people['fitter'])}access/", {"do": "give-admin"}).status_code == 400


def test_the_first_owner_comes_from_the_command_line(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shop.management.commands.add_owner.getpass", lambda prompt: "a long enough word")
    call_command("add_owner", "hedda", "Hedda", "Marlow")
    assert User.objects.get(username="hedda").groups.get().name == "owner"
    with pytest.raises(CommandError, match="already"):
        call_command("add_owner", "hedda", "Hedda", "Marlow")


def test_the_first_owner_needs_a_real_password(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shop.management.commands.add_owner.getpass", lambda prompt: "12345")
    with pytest.raises(CommandError, match="too short"):
        call_command("add_owner", "hedda", "Hedda", "Marlow")
    assert not User.objects.exists()


def test_the_password_changes_for_who_knows_the_old_one(client: Client, people: dict[str, User]) -> None:
    ama = people["fitter"]
    ama.set_password("the old long word")
    ama.save()
    client.force_login(ama)
    sent = {"new_password1": "a new long word", "new_password2": "a new long word"}
    page = client.post("/people/password/", {**sent, "old_password": "guessed"}).content.decode()
    assert "This is not your current password." in page
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


PASSWORD = "a long enough word"


@pytest.fixture
def ama(db: None) -> User:
    return make_person(username="ama", password=PASSWORD, roles=["fitter"])


def test_signing_out_is_a_press_not_a_link(client: Client, ama: User) -> None:
    client.force_login(ama)
    assert client.get(reverse("people:sign-out")).status_code == 405
    assert client.get("/").status_code == 200
    client.post(reverse("people:sign-out"))
    assert client.get("/").status_code == 302


def test_the_owner_enters_anybodys_and_it_is_on_record_who_did(owner, people):
    buyer = people["buyer"]
    send(owner, f"/people/{buyer.pk}/mail/", email="wren@shop.example")
    buyer.refresh_from_db()
    assert buyer.email == "wren@shop.example"
    change = StaffChange.objects.get(person=buyer)
    assert (change.words, change.by) == ("mail address set to wren@shop.example", people["owner"])
    assert "wren@shop.example" in collapsed(owner.get(f"/people/{buyer.pk}/"))


def test_nobody_else_enters_anothers(fitter, people):
    assert fitter.get(f"/people/{people['buyer'].pk}/mail/").status_code == 403


def test_the_address_of_a_button_leads_to_the_page_that_it_is_on(owner, people):
    refused = owner.get(f"/people/{people['fitter'].pk}/access/")
    assert refused.status_code == 405
    assert f'href="/people/{people["fitter"].pk}/">Go to that page</a>' in collapsed(refused)

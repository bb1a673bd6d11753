"""The session ended before a form was sent: after signing in it is shown, and written once when it is pressed."""

import re
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from shop.base.models import InterruptedForm
from shop.vehicles.models import Customer
from tests.factories.people import make_person
from tests.pages import collapsed

pytestmark = pytest.mark.django_db

PASSWORD = "lathe and a long word"
NEW = "/vehicles/customers/new/"


@pytest.fixture
def ida() -> Client:
    make_person(username="ida", password=PASSWORD, roles=["fitter"])
    client = Client()
    client.post("/people/sign-in/", {"username": "ida", "password": PASSWORD})
    return client


def sent(client: Client, **changes: str) -> str:
    """Fill the form of a new customer, let the session end, and send it."""
    once = re.search(r'name="once" value="([^"]+)"', collapsed(client.get(NEW)))[1]
    Session.objects.update(expire_date=timezone.now() - timedelta(minutes=1))
    return client.post(NEW, {"once": once, "name": "Quillan Forge", "notes": "pays late", **changes})["Location"]


def sign_in(client: Client, at: str, username: str = "ida") -> str:
    following = re.search(r"next=([^&]+)", at)[1].replace("%2F", "/")
    return client.post("/people/sign-in/", {"username": username, "password": PASSWORD, "next": following})["Location"]


def test_what_was_sent_is_shown_after_signing_in_and_written_once(ida: Client) -> None:
    page = collapsed(ida.get(sign_in(ida, sent(ida))))
    assert not Customer.objects.exists()
    assert "pays late" in page
    form = re.search(rf'action="{NEW}">.*?</form>', page)[0]
    values = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))
    assert [ida.post(NEW, values).status_code for _ in range(2)] == [302, 302]
    assert Customer.objects.get().notes == "pays late"


def test_nobody_else_is_offered_it(ida: Client) -> None:
    make_person(username="wren", password=PASSWORD, roles=["fitter"])
    at = sent(ida)
    assert sign_in(ida, at, "wren")
    page = ida.get(f"/interrupted/{InterruptedForm.objects.get().pk}/")
    assert page["Location"] == "/"


def test_a_password_a_stranger_or_too_much_is_not_kept(ida: Client) -> None:
    sent(ida, notes="x" * 1024 * 1024)
    ida.post("/people/password/", {"old_password": PASSWORD})
    Client().post(NEW, {"name": "x"})
    assert not InterruptedForm.objects.exists()


def test_a_button_pressed_too_late_does_not_end_in_a_blank_page(ida: Client) -> None:
    Session.objects.update(expire_date=timezone.now() - timedelta(minutes=1))
    at = ida.post("/undo/vehicles.customer/1/", {})["Location"]
    assert "Send it now" in collapsed(ida.get(sign_in(ida, at)))


def test_of_many_the_newest_are_kept(ida: Client) -> None:
    for number in range(22):
        sent(ida, notes=f"note {number}")
        sign_in(ida, "?next=/")
    notes = [form.sent["notes"] for form in InterruptedForm.objects.order_by("pk")]
    assert notes == [[f"note {number}"] for number in range(2, 22)]


def test_what_cannot_be_kept_is_said_on_signing_in(ida: Client) -> None:
    at = sent(ida, notes="x" * 1024 * 1024)
    assert "could not be kept" in collapsed(ida.get(at))


def test_it_is_kept_for_a_day(ida: Client) -> None:
    sent(ida)
    InterruptedForm.objects.update(sent_at=timezone.now() - timedelta(hours=25))
    sign_in(ida, "?next=/")
    sent(ida)
    assert InterruptedForm.objects.count() == 1

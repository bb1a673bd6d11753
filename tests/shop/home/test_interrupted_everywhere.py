"""The session is lost before a press, at every address that takes one: its person is shown it, and it is sent once."""

import os
import re
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.base.models import InterruptedForm
from tests.addresses import addresses, examples
from tests.conftest import signed_in
from tests.pages import collapsed, once

pytestmark = pytest.mark.django_db
PRESSED = {
    name: address
    for name, address in addresses().items()
    if "POST" in address.methods and getattr(address.view, "login_required", True) and name != "people:sign-out"
}
TYPED = {"notes": "a long day's typing", "do": "give-buyer", "to": "up"}

DRAWN = list(PRESSED)[:: 4 if os.environ.get("CI") == "true" else 1]


@pytest.fixture
def at(people: dict[str, User]) -> dict[str, str]:
    """Every address that takes a press, with a record behind it."""
    values = examples(people)
    return {name: reverse(name, kwargs=values.get(name, {})) for name in PRESSED}


def lost(person: User) -> Client:
    """A browser whose session ended while its page was open."""
    client = signed_in(person, raise_request_exception=False)
    session = client.session
    session.set_expiry(timezone.now() - timedelta(minutes=1))
    session.save()
    return client


def press_too_late(person: User, address: str, **more: Any) -> tuple[Client, str]:
    """Where a press leads whose session is over; the person has signed in again."""
    client = lost(person)
    answer = client.post(address, TYPED | once() | more)
    client.cookies.update(signed_in(person).cookies)
    return client, answer.get("Location", f"nowhere: {answer.status_code}")


def fault_at(address: str, people: dict[str, User]) -> str:
    """What goes wrong with a press at an address after the session ended; "" where all is as it should be."""
    client, led_to = press_too_late(people["owner"], address)
    kept = InterruptedForm.objects.order_by("pk").last()
    if kept is None or f"next=/interrupted/{kept.pk}/" not in led_to:
        return f"led to {led_to}"
    if signed_in(people["buyer"]).get(f"/interrupted/{kept.pk}/").status_code != 302:
        return "shown to another"
    page = collapsed(client.get(f"/interrupted/{kept.pk}/"))
    form = re.search(rf'<form method="post" action="({re.escape(address)})">(.*?)</form>', page)
    if form is None or "a long day&#x27;s typing" not in page:
        return "not shown"
    return fault_of_press(client, address, dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form[2])), kept)


def fault_of_press(client: Client, address: str, sent: dict[str, str], kept: InterruptedForm) -> str:
    first = client.post(address, sent)
    if first.status_code not in (200, 302, 400, 404, 409):
        return f"the press is answered {first.status_code}"
    if first.status_code == 302 and client.post(address, sent).headers.get("Location") != "/":
        return "done again by a second press"
    gone = not InterruptedForm.objects.filter(pk=kept.pk).exists()
    return "" if gone == (first.status_code == 302) else "kept after it was sent, or gone before"


def test_every_press_after_a_lost_session_is_shown_to_its_person_and_sent_once(
    people: dict[str, User], at: dict[str, str]
) -> None:
    faults = []
    for name, address in ((name, at[name]) for name in DRAWN):
        with transaction.atomic():
            if name != "home:interrupted" and (fault := fault_at(address, people)):
                faults.append(f"{name}: {fault}")
            transaction.set_rollback(True)
    assert len(at) > 100
    assert "\n".join(faults) == ""


def test_no_press_with_a_password_a_file_or_too_much_is_kept(people: dict[str, User], at: dict[str, str]) -> None:
    InterruptedForm.objects.all().delete()  # one is an example of its own page
    for address in (at[name] for name in DRAWN):
        press_too_late(people["owner"], address, new_password1="lathe and a long word")
    press_too_late(people["owner"], at["orders:order-new"], notes="x" * 1024 * 1024)
    press_too_late(people["owner"], at["orders:document-new"], file=SimpleUploadedFile("a.pdf", b"%PDF"))
    assert list(InterruptedForm.objects.values_list("address", flat=True)) == []

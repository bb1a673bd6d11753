"""A mail to oneself, to see whether mail arrives."""

import pytest
from django.core import mail as sent_mail

from shop.orders.models import Mail
from shop.orders.smtp import NotTaken
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


@pytest.fixture
def reachable(people):
    people["fitter"].email = "jonas@shop.example"
    people["fitter"].save()


def test_it_goes_to_who_pressed_and_says_so(fitter, reachable):
    said = collapsed(fitter.post("/planning/notices/test/", follow=True))
    assert "A test mail went to jonas@shop.example." in said
    (message,) = sent_mail.outbox
    assert message.to == ["jonas@shop.example"]


def test_a_server_that_refuses_is_told_in_its_own_words(fitter, reachable, monkeypatch):
    def refuse(*args, **given):
        raise NotTaken("535 wrong password", for_good=True)

    monkeypatch.setattr("django.core.mail.backends.locmem.EmailBackend.send_messages", refuse)
    said = collapsed(fitter.post("/planning/notices/test/", follow=True))
    assert "refused by the server: 535 wrong password." in said


def test_without_an_address_none_is_written(fitter):
    assert "add it first" in collapsed(fitter.post("/planning/notices/test/", follow=True))
    assert not Mail.objects.exists()

"""A create form writes once, however often it is pressed."""

from typing import Any

import pytest
from django.test import Client

from specs.models import Component

pytestmark = pytest.mark.urls("tests.shop.base.pages_urls")

MARK = "a-mark-that-a-form-was-given-0001"


def form(**changes: Any) -> dict[str, Any]:
    return {"kind": "gearbox", "maker": "Teskel", "name": "QZ-5", "notes": "", "once": MARK, **changes}


def test_a_press_writes_and_lands_on_the_record(fitter: Client) -> None:
    response = fitter.post("/test/new/", form())
    assert response["Location"] == f"/test/{Component.objects.get().pk}/"


def test_a_second_press_lands_on_the_first_record(fitter: Client) -> None:
    first = fitter.post("/test/new/", form())
    second = fitter.post("/test/new/", form())
    assert second["Location"] == first["Location"]
    assert Component.objects.count() == 1


def test_without_its_mark_nothing_is_written_and_nothing_lost(fitter: Client) -> None:
    for mark in ("", "short", "x" * 100):
        page = fitter.post("/test/new/", form(once=mark)).content.decode()
        assert "cannot be told from one" in page
        assert 'value="Teskel"' in page
    assert Component.objects.count() == 0


def test_other_words_under_a_used_token_are_neither_written_nor_lost(fitter: Client) -> None:
    fitter.post("/test/new/", form())
    page = fitter.post("/test/new/", form(name="T6")).content.decode()
    assert "was sent before with other words" in page
    assert 'value="T6"' in page
    fresh = page.split('name="once" value="')[1].split('"')[0]
    assert fresh != MARK
    assert fitter.post("/test/new/", form(name="T6", once=fresh)).status_code == 302
    assert Component.objects.count() == 2


def test_a_mark_is_good_for_one_person_only(fitter: Client, buyer: Client) -> None:
    first = fitter.post("/test/new/", form())
    page = buyer.post("/test/new/", form(name="T6"))
    assert page.status_code == 200
    assert "cannot be told from one" in page.content.decode()
    assert first["Location"] not in page.content.decode()


def test_a_refused_form_keeps_its_mark(fitter: Client) -> None:
    page = fitter.post("/test/new/", form(name="")).content.decode()
    assert f'name="once" value="{MARK}"' in page
    assert fitter.post("/test/new/", form()).status_code == 302


def test_every_form_gets_a_mark_of_its_own(fitter: Client) -> None:
    marks = {fitter.get("/test/new/").content.decode().split('name="once" value="')[1].split('"')[0] for _ in "ab"}
    assert len(marks) == 2


def test_a_form_sent_empty_is_answered_plainly(fitter: Client) -> None:
    assert fitter.post("/test/new/", {}).status_code == 200

"""Which forms the browser keeps a draft of, and how it is told that one was saved."""

import re
from urllib.parse import unquote

import pytest

from shop.base.pages import SAVED_FORMS
from tests.factories.vehicles import make_customer
from tests.pages import press

NEW = "/vehicles/customers/new/"


def test_a_page_that_deletes_keeps_what_was_typed_and_says_that_it_is_an_act(owner):
    customer = make_customer()
    assert b"data-draft" in owner.get(f"/vehicles/customers/{customer.pk}/edit/").content
    assert b"data-act" not in owner.get(f"/vehicles/customers/{customer.pk}/edit/").content
    assert re.search(
        rb"<form[^>]*\sdata-draft=[^>]* data-act", owner.get(f"/vehicles/customers/{customer.pk}/delete/").content
    )


@pytest.mark.parametrize("query", ["", "?for=1%7C2"])
def test_a_save_is_told_with_person_and_address(owner, people, query):
    response = press(owner, NEW + query, name="Oduya")
    assert response.status_code == 302
    assert unquote(response.cookies[SAVED_FORMS].value) == f"{people['owner'].pk} {NEW}{query}"


def test_a_refused_form_is_not_told_as_saved(owner):
    response = press(owner, NEW, name="")
    assert response.status_code == 200
    assert SAVED_FORMS not in response.cookies


def test_two_saves_before_the_next_page_are_both_told(owner):
    press(owner, NEW, name="Oduya")
    second = press(owner, NEW + "?again", name="Okafor")
    assert len(second.cookies[SAVED_FORMS].value.split("|")) == 2

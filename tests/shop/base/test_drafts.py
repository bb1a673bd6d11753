"""Which forms the browser keeps a draft of, and how it is told that one was saved."""

from pathlib import Path
from urllib.parse import unquote

import pytest

from shop.base.pages import SAVED_FORMS
from tests.factories.vehicles import make_customer
from tests.pages import press

TEMPLATES = Path(__file__).parents[3] / "templates"
NEW = "/vehicles/customers/new/"
# Pages that make or change a record. Nothing that signs, starts, accepts, approves or deletes may stand here.
MARKED = {
    "base/create.html",
    "base/edit.html",
    "measuring/pattern_calipers.html",
    "measuring/pattern_load.html",
    "measuring/reading_new.html",
    "orders/order_new.html",
    "worksheets/worksheet_edit.html",
    "worksheets/worksheet_new_of.html",
}


def test_only_pages_that_make_or_change_a_record_keep_drafts():
    marked = {
        str(file.relative_to(TEMPLATES)) for file in TEMPLATES.rglob("*.html") if "data-draft" in file.read_text()
    }
    assert marked == MARKED


def test_a_page_that_deletes_keeps_none(owner):
    customer = make_customer()
    assert b"data-draft" in owner.get(f"/vehicles/customers/{customer.pk}/edit/").content
    assert b"data-draft" not in owner.get(f"/vehicles/customers/{customer.pk}/delete/").content


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

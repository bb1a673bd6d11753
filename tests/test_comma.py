"""Whoever reads figures with a comma reads them so on every page and on every sheet, in sentences too."""

import os

import pytest
from django.contrib.auth.models import User
from django.db.models import Model
from django.urls import reverse

from shop.people.models import Preferences
from shop.print.kinds import sheet_kinds
from specs.written import PROPERTY_CLASSES, WrittenForm, find_in_prose, written_as
from tests.addresses import Address
from tests.factories.people import make_person
from tests.factories.print import make_printed
from tests.pdfs import text_of
from tests.pseudo import texts, write_with_commas
from tests.test_language import published
from tests.walk import ADDRESSES, Walk

pytestmark = pytest.mark.django_db

BOTH = ("12.5", "12,5")
"""Said of both marks to everybody: what a box understands, and what one may choose."""
IN_FILES = ("home:help", "home:help-topic")
"""Pages whose text is one file a language."""
READ = [each for each in ADDRESSES if "GET" in each.methods and each.name not in IN_FILES]
SUBJECTS = 4
if os.environ.get("CI") == "true":
    # The gate looks at the engine's own pages, which have most figures, and at every fifth other; a desk at all.
    ENGINE = ("calculate:", "torque:")
    READ = [
        *(each for each in READ if each.name.startswith(ENGINE)),
        *[each for each in READ if not each.name.startswith(ENGINE)][::5],
    ]
    SUBJECTS = 1
EVERY = pytest.mark.parametrize("address", READ, ids=[address.name for address in READ])


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def walk(kinds: dict[str, type[Model]], demo: None, until_the_file_ends: None) -> Walk:
    walk = Walk(kinds)
    reader = User.objects.get(username="walker")
    Preferences.objects.update_or_create(user=reader, defaults={"decimal_mark": ","})
    write_with_commas()
    return walk


def pointed(said: str) -> list[str]:
    """The figures of a text that have a point, but for titles of publications and names of strengths."""
    for title in published():
        said = said.replace(title, " ")
    return [figure for figure in find_in_prose(said) if figure not in (*PROPERTY_CLASSES, *BOTH)]


@EVERY
def test_no_page_writes_a_figure_with_another_mark_than_its_reader(address: Address, walk: Walk) -> None:
    for parts in walk.drawn(address):
        page = walk.page(reverse(address.name, kwargs=parts))
        if walk.status == 200 and walk.kind.startswith("text/html"):
            assert [(said, found) for _, said in texts(page) if (found := pointed(said))] == []


@pytest.mark.parametrize("kind", sheet_kinds())
def test_no_sheet_writes_a_figure_with_another_mark_than_its_reader(kind: str, walk: Walk) -> None:
    asked, person = sheet_kinds()[kind], make_person(roles=["owner"])
    rows = asked.model._base_manager.order_by("pk")
    for subject in (rows.filter(calculation=asked.only_for) if asked.only_for else rows)[:SUBJECTS]:
        with written_as(WrittenForm(",")):
            sheet = make_printed(kind, subject, person=person)
        said = text_of(bytes(sheet.pdf))
        for source in sheet.facts.get("sources", ()):
            said = said.replace(" ".join(source.split()), " ")
        assert pointed(said) == []

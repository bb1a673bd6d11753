"""Every text on paper can be said in another language, as on pages (`tests.test_language`)."""

import re

import pytest
from django.db import models

from shop.print.kinds import sheet_kinds
from tests.database import fill_with_demo
from tests.factories.people import make_person
from tests.factories.print import make_printed
from tests.pdfs import reader
from tests.pseudo import in_pseudo, untranslated, write_in_greek
from tests.test_language import KNOWN, USERNAMES

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def written(demo: None, until_the_file_ends: None) -> None:
    write_in_greek()


def subjects(kind: str) -> list[models.Model]:
    asked = sheet_kinds()[kind]
    rows = asked.model._base_manager.order_by("pk")
    return list(rows.filter(calculation=asked.only_for) if asked.only_for else rows)[:4]


@pytest.mark.parametrize("kind", sheet_kinds())
def test_no_sheet_says_a_word_that_cannot_be_translated(kind: str, written: None) -> None:
    person = make_person(first_name="Ιονα", last_name="Πικ", roles=["owner", "fitter"])
    left: set[str] = set()
    with in_pseudo():
        for subject in subjects(kind):
            sheet = make_printed(kind, subject, person=person)
            lines = [line for page in reader(bytes(sheet.pdf)).pages for line in page.extract_text().splitlines()]
            left |= set(untranslated((("", line) for line in lines), KNOWN))
    for one in sorted(left - USERNAMES): print("LEFT", kind, "|", one)
    assert left - USERNAMES == set()

"""Every text on paper can be said in another language (as pages, `tests.test_language`), and means the same there."""

from __future__ import annotations

import os
import shutil
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from django.db import models

from shop.print.changes import lay_out
from shop.print.kinds import sheet_kinds
from shop.print.models import PrintedSheet
from tests.factories.people import make_person
from tests.factories.print import make_printed
from tests.pdfs import bold_and_plain, misplaced, reader
from tests.pseudo import in_pseudo, is_said, loud, untranslated, write_in_greek
from tests.test_language import KNOWN, USERNAMES

pytestmark = pytest.mark.django_db
# The gate looks at one sheet of a kind, a desk at four.
MOST = 1 if os.environ.get("CI") == "true" else 4
POPPLER = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="Poppler tells where words stand")
KINDS = pytest.mark.parametrize("kind", sheet_kinds())


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def written(demo: None, until_the_file_ends: None) -> None:
    write_in_greek()


def subjects(kind: str) -> list[models.Model]:
    asked = sheet_kinds()[kind]
    rows = asked.model._base_manager.order_by("pk")
    return list(rows.filter(calculation=asked.only_for) if asked.only_for else rows)[:MOST]


@cache
def printed(kind: str) -> list[tuple[PrintedSheet, PrintedSheet]]:
    """The sheets of a kind in English and in the other language, once for all tests: they only look at them."""
    person = make_person(first_name="Ιονα", last_name="Πικ", roles=["owner", "fitter"])
    told = [make_printed(kind, subject, person=person) for subject in subjects(kind)]
    with in_pseudo():
        said = [make_printed(kind, subject, person=person) for subject in subjects(kind)]
    return list(zip(told, said, strict=True))


def without_what_is_the_same(facts: dict[str, Any]) -> dict[str, Any]:
    """Facts without titles of publications and formulas, which no language says otherwise."""
    return {**facts, "sources": [], "lines": [["", "", result, note] for _, _, result, note in facts["lines"]]}


def lines_of(sheet: PrintedSheet) -> list[str]:
    pdf = bytes(sheet.pdf)
    if "sources" in sheet.facts:
        pdf = lay_out(sheet_kinds()[sheet.kind], without_what_is_the_same(sheet.facts), sheet.paper)
    return [line for page in reader(pdf).pages for line in page.extract_text().splitlines()]


@KINDS
def test_no_sheet_says_a_word_that_cannot_be_translated(kind: str, written: None) -> None:
    left: set[str] = set()
    sheets = printed(kind)
    with in_pseudo():
        for _, sheet in sheets:
            left |= set(untranslated((("", line) for line in lines_of(sheet)), KNOWN))
    assert sorted(left - USERNAMES) == []


@KINDS
def test_every_sheet_has_the_same_words_in_capitals_with_the_same_weight(kind: str, written: None) -> None:
    for one, other in printed(kind):
        told, said = loud_in(one), loud_in(other)
        assert is_said(told, said), (told, said)


def loud_in(sheet: PrintedSheet) -> list[tuple[str, bool]]:
    """The words in capitals of all pages; of those across every page, the first alone."""
    pages = [loud(page) for page in bold_and_plain(bytes(sheet.pdf))]
    across = [(word, True) for word in ("NOT", "TO", "BE", "CUT")]
    struck = all(is_said(across, page[: len(across)]) for page in pages)
    return [word for at, page in enumerate(pages) for word in page[len(across) if at and struck else 0 :]]


@POPPLER
@pytest.mark.parametrize("kind", [kind for kind in sheet_kinds() if not kind.startswith("template")])
def test_longer_words_neither_leave_the_paper_nor_stand_over_others(kind: str, written: None, tmp_path: Path) -> None:
    """But for templates: what lies beyond their edges is in the file, and not on the paper."""
    for at, (_, sheet) in enumerate(printed(kind)):
        file = tmp_path / f"{at}.pdf"
        file.write_bytes(bytes(sheet.pdf))
        assert misplaced(file) == []

"""Every text of the site can be said in another language: shown by one that nobody speaks (`tests.pseudo`)."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db.models import Model
from django.urls import reverse

from specs.standards import materials, publications
from tests.addresses import Address
from tests.pseudo import in_pseudo, texts, untranslated, write_in_greek
from tests.walk import ADDRESSES, Walk

pytestmark = pytest.mark.django_db

KEPT = ("worksheets:worksheet-records", "worksheets:worksheets-changed", "worksheets:worksheet-what-if")
"""Pages that show what was kept, in the words of then."""
IN_FILES = ("home:help", "home:help-topic")
"""Pages whose text is one file a language."""
READ = [each for each in ADDRESSES if "GET" in each.methods and each.name not in (*KEPT, *IN_FILES)]
if os.environ.get("CI") == "true":
    # The gate looks at half the forms, which say the same every day; a desk at every page.
    READ = [each for each in READ if each.name.rpartition("-")[2] in ("new", "edit", "delete")][::2]
EVERY = pytest.mark.parametrize("address", READ, ids=[address.name for address in READ])

UNITS = r"mm|cm|km|kg|kgf|lbf?|ft|in|deg|rpm|rad|MPa|GPa|kPa|bar|psi|kN|kJ|MJ|kW|Nm|Hz|ms|min|mN|µm|EUR|USD|GBP|SEK|CHF"
SIGNS = r"ISO|DIN|SAE|VDI|ASTM|SI|UNC|UNF|PDF|CSV|TSV|XLSX|ODS|DXF|SVG|JSON|HTML|QR|CN|FD|QL|Rp0\.2|Rpf|ReL"
MARKS = r"[A-Z]+\d[\w-]*|[A-Z]{2}-\d{4}-\d+|PH-[A-Z]*\d+|(?=[a-f]*\d)[0-9a-f]{6}"
"""Names of holes and threads, numbers of orders and of suppliers' parts, what tells two versions of a page apart."""
ADDRESSES_OF = r"[\w.-]+@[\w.-]+|mailer-daemon|Mail Delivery Subsystem|testserver"


def published() -> list[str]:
    """What is called the same in every language: materials by their standards, publications by title and place."""
    tables = [table.stem for table in Path(publications.__file__).parent.glob("*.csv")]
    cited = {
        str(publications.source_of(row)) for name in tables for row in publications.rows(name) if "provenance" in row
    }
    titles = {f"{name} {row['title']}" for name, row in publications.publications().items()}
    iron = {row["grade"] for row in publications.rows("grey_iron_walls")}
    return sorted({*cited, *titles, *iron, *materials.table()}, key=len, reverse=True)


KNOWN = re.compile(
    "|".join(map(re.escape, published()))
    + rf"|\b(?:(?:{UNITS})[²³⁴]?|{SIGNS}|{MARKS}|{ADDRESSES_OF})(?!\w)|https?://\S*|(?:^|\s)/[\w/-]+"
)
USERNAMES = {"ama", "hedda", "jonas", "tibor", "wren", "walker"}


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def walk(kinds: dict[str, type[Model]], demo: None, until_the_file_ends: None) -> Iterator[Walk]:
    walk = Walk(kinds)
    write_in_greek()
    with in_pseudo():
        yield walk


@EVERY
def test_no_page_says_a_word_that_cannot_be_translated(address: Address, walk: Walk) -> None:
    for parts in walk.drawn(address):
        page = walk.page(reverse(address.name, kwargs=parts))
        if walk.status == 200 and walk.kind.startswith("text/html"):
            assert set(untranslated(texts(page), KNOWN)) - USERNAMES == set()

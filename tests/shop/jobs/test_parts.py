"""The list of parts that unfinished steps need, over all jobs."""

import pytest

from tests.factories.jobs import make_part_need
from tests.pages import words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_it_lists_what_is_needed_and_asks_as_much_for_twenty_as_for_one(owner):
    make_part_need(text="Slave cylinder")
    page = words_of(owner.get("/jobs/parts/"))
    assert "Slave cylinder" in page
    assert "not here yet" in page
    few = len(queries_of(owner, "/jobs/parts/"))
    for number in range(20):
        make_part_need(text=f"Bolt {number}")
    assert len(queries_of(owner, "/jobs/parts/")) == few
    assert "Bolt 3" not in words_of(owner.get("/jobs/parts/?here=yes"))

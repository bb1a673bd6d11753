"""Published tables: searched, one at a time, a source a row."""

import pytest
from django.urls import reverse

from specs.standards.printed import TITLES

pytestmark = pytest.mark.django_db

DRILLS = "ISO 2306 Drills for use prior to tapping screw threads, 1972, table 1 coarse (from memory)"


def page(client, **asked):
    return " ".join(client.get(reverse("calculate:standards"), asked).content.decode().split())


def test_the_tables_are_listed_and_none_of_their_rows(fitter):
    said = page(fitter)
    assert (
        reverse("calculate:standards") in page(fitter) + fitter.get(reverse("calculate:calculations")).content.decode()
    )
    assert all(title in said for title in TITLES.values())
    assert "<table" not in said


def test_a_value_can_be_looked_up_with_its_source(fitter):
    assert "EN-GJL-250" in page(fitter, table="surface_pressures")
    drills = page(fitter, table="tap_drills")
    assert DRILLS in drills
    assert drills.count("<table") == 1


@pytest.mark.parametrize("name", TITLES)
def test_each_table_has_a_page_of_its_own(fitter, name):
    said = page(fitter, table=name)
    assert said.count("<table") == 1
    assert f'id="{name}"' in said


def test_what_is_sought_leads_to_its_table_and_its_rows(fitter):
    said = page(fitter, find="m10 tapping")
    assert "Drills for tapping" in said
    assert "Materials" not in said
    in_one = page(fitter, find="M10", table="clearance_holes")
    assert "Show the whole table" in in_one
    assert in_one.count('scope="row"') < page(fitter, table="clearance_holes").count('scope="row"')
    # Only one table holds it: it stands there at once.
    assert page(fitter, find="AZ91 bear").count("<table") == 1


def test_nothing_found_is_said_and_an_unknown_table_is_not_found(fitter):
    assert "holds all of “unobtainium”" in page(fitter, find="unobtainium")
    assert "Nothing in Materials holds" in page(fitter, find="unobtainium", table="materials")
    assert fitter.get(reverse("calculate:standards"), {"table": "nonsense"}).status_code == 404


def test_what_was_typed_is_kept_and_nothing_of_it_is_run(fitter):
    said = page(fitter, find='<b>"M10"')
    assert "&lt;b&gt;&quot;M10&quot;" in said
    assert '<b>"M10"' not in said

"""Mating features and the finder."""

from __future__ import annotations

from datetime import date

import pytest

from tests.factories.measuring import make_component, make_feature, make_reading
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


SHAFT = {"major diameter": (25.35, 0.05), "minor diameter": (22.1, 0.05)}


def hub(name, major, minor=22.4, count=22):
    component = make_component(kind="clutch disc", maker="Dunmere", name=name)
    sizes = {"major diameter": (major, 0.05), "minor diameter": (minor, 0.05)}
    return make_feature(sizes, component=component, form="outer", name="hub spline", count=count)


def test_the_finder_puts_the_disc_that_fits_first_and_says_how_far_off_the_others_are(fitter):
    shaft = make_feature(SHAFT)
    hub("too small", 25.1)
    hub("fits", 25.6)
    hub("other teeth", 25.6, count=23)
    page = collapsed(fitter.get(shaft.get_absolute_url()))
    assert page.index("Dunmere fits") < page.index("Dunmere too small") < page.index("Dunmere other teeth")
    assert "23 teeth, not 22" in page
    assert "Major diameter: play −0.25 mm ± 0.10 mm, 0.25 mm outside 0 mm to 0.5 mm (misses)" in page


def test_the_finder_works_from_the_hub_as_well(fitter):
    make_feature(SHAFT, component=make_component(name="QZ-5"))
    page = collapsed(fitter.get(hub("fits", 25.6).get_absolute_url()))
    assert "Teskel QZ-5" in page
    assert '<div class="figure">Fits</div>' in page


def test_what_fits_by_readings_that_contradict_each_other_is_in_doubt(fitter):
    shaft = make_feature(SHAFT)
    disc = hub("fits", 25.6)
    bore = disc.sizes.get(role="major diameter").dimension
    make_reading(dimension=bore, mm=25.61, tolerance_mm=0.05, measured_on=date(2026, 3, 3))
    assert '<div class="figure">Fits</div>' in collapsed(fitter.get(shaft.get_absolute_url()))
    make_reading(dimension=bore, mm=25.3, tolerance_mm=0.05, measured_on=date(2026, 2, 3))
    page = collapsed(fitter.get(shaft.get_absolute_url()))
    assert '<div class="figure">In doubt</div>' in page
    assert "Readings contradict each other: hub spline major diameter" in page


def test_the_finder_costs_the_same_for_1_and_20_candidates(fitter):
    shaft = make_feature(SHAFT)
    hub("first", 25.6)
    one = len(queries_of(fitter, shaft.get_absolute_url()))
    for number in range(19):
        hub(f"D{number}", 25.5)
    assert len(queries_of(fitter, shaft.get_absolute_url())) == one

"""Pages of a dimension."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from shop.measuring.views import dimension as views
from specs.models import Dimension, Measurement
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_pattern,
    make_reading,
    make_specimen,
    make_torque_spec,
)
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


MARK = "once-token-for-a-test-0001"


def test_a_dimension_keeps_its_limits_as_typed_and_in_si(fitter):
    component = make_component()
    sent = {
        "once": MARK,
        "name": "pilot bore",
        "kind": "length",
        "datum": "in the crank flange",
        "lower_limit_typed": "0.590 in",
        "upper_limit_typed": "15,02",
    }
    fitter.post(reverse("measuring:dimension-new", args=[component.pk]), sent)
    dimension = Dimension.objects.get()
    assert dimension.lower_limit == pytest.approx(0.014986)
    assert dimension.upper_limit == pytest.approx(0.01502)
    assert (dimension.lower_limit_typed, dimension.upper_limit_typed) == ("0.590 in", "15,02 mm")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"lower_limit_typed": "3 kg"}, "is a mass, but a length is needed"),
        ({"lower_limit_typed": "2", "upper_limit_typed": "1"}, "upper limit is below the lower"),
        ({"name": "taken"}, "has a dimension of this name already"),
    ],
)
def test_a_dimension_that_cannot_be_is_refused_in_words(fitter, changes, words):
    component = make_component()
    make_dimension(component=component, name="taken")
    sent = {"once": MARK, "name": "pilot bore", "kind": "length", **changes}
    assert words in collapsed(fitter.post(reverse("measuring:dimension-new", args=[component.pk]), sent))
    assert Dimension.objects.count() == 1


def test_the_kind_of_a_measured_dimension_stays(fitter):
    dimension = make_reading().dimension
    sent = {"version": 1, "name": dimension.name, "kind": "mass"}
    page = collapsed(fitter.post(reverse("measuring:dimension-edit", args=[dimension.pk]), sent))
    assert "add another dimension instead" in page


def test_limits_are_cleared_by_emptying_them(fitter):
    dimension = make_dimension(lower_limit=0.1, lower_limit_typed="100 mm")
    sent = {"version": 1, "name": dimension.name, "kind": "length", "lower_limit_typed": ""}
    fitter.post(reverse("measuring:dimension-edit", args=[dimension.pk]), sent)
    assert Dimension.objects.get().lower_limit is None


def _fill(count):
    for _ in range(count):
        component = make_component()
        make_specimen(component=component)
        dimension = make_dimension(component=component)
        make_reading(dimension=dimension)
        make_reading(dimension=dimension, mm=90)
        make_pattern(component=component)
        make_torque_spec(component=component)


@pytest.mark.parametrize(
    "name",
    [
        "measuring:components",
        "measuring:dimensions",
        "torque:specs",
    ],
)
def test_lists_cost_the_same_for_1_and_20_rows(fitter, name):
    _fill(1)
    one = len(queries_of(fitter, reverse(name)))
    _fill(19)
    assert len(queries_of(fitter, reverse(name))) == one


def test_dimensions_never_measured_can_be_listed(fitter):
    make_reading(dimension=make_dimension(name="spigot height"))
    make_dimension(name="dowel height")
    page = collapsed(
        fitter.get(
            reverse(
                "measuring:dimensions",
            ),
            {"unmeasured": "yes"},
        )
    )
    assert "dowel height" in page
    assert "spigot height" not in page


def test_the_list_comes_as_csv(fitter):
    make_reading(dimension=make_dimension(name="spigot height"))
    content = collapsed(
        fitter.get(
            reverse(
                "measuring:dimensions",
            ),
            {"as": "csv"},
        )
    )
    assert "spigot height" in content
    assert "88.9,0.05,mm,2026-03-02" in content


def test_the_page_of_a_dimension_reads_its_newest_readings_and_those_that_decide(fitter, monkeypatch):
    monkeypatch.setattr(views, "NEWEST", 3)
    dimension = make_dimension()
    address = dimension.get_absolute_url()
    oldest = [make_reading(dimension=dimension, mm=mm, measured_on=date(2020, 1, 1)) for mm in (70, 71, 95)]
    newest = [make_reading(dimension=dimension, mm=80, measured_on=date(2026, 1, day)) for day in (1, 2, 3)]
    page = collapsed(fitter.get(address))
    assert "The newest 3, with the older ones that decide" in page
    assert "readings/?dimension=" in page
    shown = [reading for reading in (*oldest, *newest) if reverse_of_deletion(reading) in page]
    assert shown == [oldest[0], oldest[2], *newest], "the ends that contradict the newest, and not what lies between"
    assert "tolerances together allow" in page
    for reading in oldest:
        Measurement.objects.filter(pk=reading.pk).delete()
    page = collapsed(fitter.get(address))
    assert 'id="readings">Readings</h2>' in page
    assert "tolerances together allow" not in page


def reverse_of_deletion(reading):
    return reverse("measuring:reading-delete", args=[reading.pk])


def test_the_list_of_readings_is_narrowed_to_one_dimension(owner):
    here, there = make_reading(instrument="gauge of here"), make_reading(instrument="gauge of there")
    page = collapsed(owner.get(reverse("measuring:readings"), {"dimension": here.dimension_id}))
    assert here.instrument in page
    assert there.instrument not in page

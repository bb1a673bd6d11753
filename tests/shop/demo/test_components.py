"""What the demo's knowledge base is there to show."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

import pytest

from shop.demo import components
from shop.measuring.mate_finder import find_mates
from shop.measuring.pattern_compare import compare
from shop.torque.rules import advice
from specs.models import Component, HolePattern, MatingFeature, Measurement, TorqueSpec
from specs.queries import disputed_dimensions
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def shown():
    people = {"jonas": "fitter", "ama": "fitter", "tibor": "machinist"}
    world = SimpleNamespace(
        people={name: make_person(username=name, roles=[role]) for name, role in people.items()},
        today=date(2026, 11, 25),
    )
    components.make(world)
    return world


def test_it_shows_what_a_shop_meets(shown):
    assert "bellhousing depth" in [dimension.name for dimension in disputed_dimensions()]
    assert [spec.place for spec in TorqueSpec.objects.all() if advice(spec).flag] == ["clutch cover to flywheel"]
    spline = MatingFeature.objects.get(name="input spline")
    assert [found.verdict for found in find_mates(spline, "metric")] == ["fits", "misses", "misses"]


def test_the_faces_come_from_raw_readings_and_one_was_read_mirrored(shown):
    engine = HolePattern.objects.get(component__name="V6-30")
    assert engine.method == "points"
    assert len(engine.readings) == 10
    first, second = HolePattern.objects.filter(component__name="QZ-5", method="table").order_by("measured_on")
    moved = HolePattern.objects.get(method="moved")
    assert compare(list(first.holes.all()), list(second.holes.all()), False).mirrored
    settled = compare(list(first.holes.all()), list(moved.holes.all()), False)
    assert not settled.mirrored
    assert settled.fit.rms < 0.05


def test_making_it_twice_changes_nothing(shown):
    before = Component.objects.count(), Measurement.objects.count(), HolePattern.objects.count()
    components.make(shown)
    assert (Component.objects.count(), Measurement.objects.count(), HolePattern.objects.count()) == before

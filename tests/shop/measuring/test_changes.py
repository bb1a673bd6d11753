"""The verbs of the knowledge base, whoever calls them: permission, reason and history inside."""

from __future__ import annotations

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.measuring import changes
from specs.models import Dimension, FeatureSize, Hole, HolePattern, Measurement
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_feature,
    make_pattern,
    make_reading,
)

pytestmark = pytest.mark.django_db

READING = {
    "value": 0.0889,
    "typed": "88.9 mm",
    "tolerance": 0.00005,
    "tolerance_typed": "0.05 mm",
    "instrument": "caliper",
    "measured_on": date(2026, 3, 2),
}


def test_a_buyer_can_neither_measure_nor_judge_nor_delete(people):
    reading = make_reading()
    buyer = people["buyer"]
    with pytest.raises(PermissionDenied, match="record a measurement"):
        changes.record_measurement(dimension=reading.dimension, person=buyer, **READING)
    with pytest.raises(PermissionDenied):
        changes.choose_reading(dimension=reading.dimension, measurement=reading, reason="so", person=buyer)
    with pytest.raises(PermissionDenied):
        changes.delete_with_reason(reading, person=buyer, reason="so", now=timezone.now())
    assert Measurement.objects.active().count() == 1


def test_a_reading_that_breaks_a_rule_of_the_record_is_refused(people):
    with pytest.raises(ValidationError):
        changes.record_measurement(
            dimension=make_dimension(), person=people["fitter"], **{**READING, "instrument": "", "tolerance": -1.0}
        )
    assert not Measurement.objects.exists()


def test_choosing_and_deleting_need_a_reason(people):
    reading = make_reading()
    with pytest.raises(ValidationError, match="why this reading"):
        changes.choose_reading(dimension=reading.dimension, measurement=reading, reason=" ", person=people["fitter"])
    with pytest.raises(ValidationError, match="why it is deleted"):
        changes.delete_with_reason(reading, person=people["fitter"], reason=" ", now=timezone.now())


def test_a_reading_of_another_dimension_cannot_be_chosen(people):
    with pytest.raises(ValidationError, match="of this dimension"):
        changes.choose_reading(
            dimension=make_dimension(), measurement=make_reading(), reason="so", person=people["fitter"]
        )


def test_a_stale_deletion_writes_nothing(people):
    reading = make_reading()
    changes.delete_with_reason(
        Measurement.objects.get(), person=people["fitter"], reason="jaw bent", now=timezone.now()
    )
    with pytest.raises(ValidationError, match="deleted this on .* jaw bent"):
        changes.delete_with_reason(reading, person=people["machinist"], reason="slipped", now=timezone.now())
    assert Measurement.objects.get().deleted_reason == "jaw bent"


def test_every_hole_of_a_pattern_is_in_the_history_with_its_person(people):
    pattern = HolePattern(
        component=make_component(), face="f", datum="d", seen_from="gearbox", measured_on=date.today()
    )
    holes = [
        {"name": name, "x": 0.0, "y": y, "diameter": 5.0, "kind": "tapped"} for name, y in (("A", 0.0), ("B", 9.0))
    ]
    changes.add_hole_pattern(pattern=pattern, holes=holes, person=people["machinist"])
    assert {entry.history_user for entry in Hole.history.all()} == {people["machinist"]}
    assert str(pattern.holes.first()) == "A"


def test_a_pattern_with_a_bad_hole_is_not_kept_at_all(people):
    pattern = HolePattern(
        component=make_component(), face="f", datum="d", seen_from="gearbox", measured_on=date.today()
    )
    twin = {"name": "A", "x": 0.0, "y": 0.0, "diameter": 5.0, "kind": "tapped"}
    with pytest.raises(Exception, match="hole_name_once|UNIQUE"):
        changes.add_hole_pattern(pattern=pattern, holes=[twin, twin], person=people["machinist"])
    assert not HolePattern.objects.exists()


def test_keeping_a_feature_again_changes_only_the_sizes_that_differ(people):
    feature = make_feature({"major diameter": (25.0, 0.1), "minor diameter": (22.0, 0.1)})
    sizes = {size.role: size.dimension for size in feature.sizes.all()}
    other = make_dimension(component=feature.component, name="measured again")
    changes.keep_feature(feature=feature, sizes={**sizes, "major diameter": other}, person=people["fitter"])
    assert FeatureSize.objects.get(role="major diameter").dimension == other
    assert FeatureSize.objects.get(role="minor diameter").history.count() == 1
    assert str(FeatureSize.objects.get(role="major diameter")).endswith("major diameter")


def test_a_correction_by_hand_is_refused_to_nobody_who_may_edit(people):
    pattern = make_pattern()
    hole = {"name": "D1", "x": 1.0, "y": 0.0, "diameter": 12.0, "kind": "dowel"}
    changes.replace_holes(pattern=pattern, holes=[hole], person=people["buyer"])
    assert [kept.x for kept in pattern.holes.all()] == [1.0]
    assert Dimension.objects.count() == 0

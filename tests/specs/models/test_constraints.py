"""What the database refuses to keep."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.db.models import ProtectedError
from django.utils import timezone

from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_pattern,
    make_reading,
    make_specimen,
    make_torque_spec,
)

pytestmark = pytest.mark.django_db


def test_a_reading_is_not_deleted_without_a_reason():
    reading = make_reading()
    reading.deleted_at = timezone.now()
    with pytest.raises(IntegrityError):
        reading.save()


def test_a_reason_alone_does_not_delete():
    with pytest.raises(IntegrityError):
        make_reading(deleted_reason="slipped")


def test_a_tolerance_is_never_negative():
    with pytest.raises(IntegrityError):
        make_reading(tolerance=-0.1)


def test_limits_stand_in_order():
    with pytest.raises(IntegrityError):
        make_dimension(lower_limit=2.0, upper_limit=1.0)


def test_a_choice_of_reading_needs_a_reason():
    reading = make_reading()
    reading.dimension.chosen = reading
    with pytest.raises(IntegrityError):
        reading.dimension.save()


def test_a_published_torque_needs_a_source():
    with pytest.raises(IntegrityError):
        make_torque_spec(published_torque=45.0, published_typed="45 Nm")


def test_a_second_component_of_the_same_name_is_refused_in_words():
    component = make_component()
    twin = type(component)(kind="gearbox", maker=component.maker, name=component.name)
    with pytest.raises(ValidationError, match="on record already"):
        twin.full_clean()


def test_two_holes_of_one_name_are_refused():
    hole = {"name": "B1", "x": 0.0, "y": 0.0, "diameter": 11.0, "kind": "clearance"}
    with pytest.raises(IntegrityError):
        make_pattern(holes=[hole, {**hole, "x": 5.0}])


def test_a_component_with_readings_cannot_vanish():
    reading = make_reading()
    with pytest.raises(ProtectedError):
        reading.dimension.component.delete()


def test_every_save_raises_the_version_and_leaves_history():
    specimen = make_specimen()
    assert specimen.version == 1
    specimen.notes = "cracked ear"
    specimen.save(update_fields=["notes"])
    specimen.refresh_from_db()
    assert specimen.version == 2
    assert [entry.notes for entry in specimen.history.all()] == ["cracked ear", ""]
    assert str(specimen) == f"{specimen.component} no. A1"


def test_an_angle_stage_is_told_apart():
    plain = make_torque_spec(stages=[{"kind": "torque", "typed": "40 Nm", "value": 40.0}])
    turned = make_torque_spec(stages=[{"kind": "angle", "typed": "90°", "value": 1.5707963}])
    assert not plain.has_angle_stage
    assert turned.has_angle_stage

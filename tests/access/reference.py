"""Values for the addresses of the knowledge base."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.reference import (
    make_dimension,
    make_feature,
    make_pattern,
    make_reading,
    make_specimen,
    make_torque_spec,
)

OF_COMPONENT = (
    "component",
    "component-change",
    "specimen-new",
    "dimension-new",
    "torque-spec-new",
    "pattern-new",
    "pattern-load",
    "pattern-calipers",
    "feature-new",
)
OF_DIMENSION = ("dimension", "dimension-change", "measure", "choose-reading")
OF_TORQUE_SPEC = ("torque-spec", "torque-spec-change", "torque-spec-withdraw")
OF_PATTERN = ("pattern", "pattern-datum", "pattern-change", "pattern-withdraw")


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    specimen = make_specimen()
    component = specimen.component
    reading = make_reading(dimension=make_dimension(component=component), person=people["fitter"])
    spec = make_torque_spec(component=component)
    feature = make_feature(component=component)
    pattern = make_pattern(component=component, person=people["fitter"])
    keys = {
        **dict.fromkeys(OF_COMPONENT, component.pk),
        **dict.fromkeys(OF_DIMENSION, reading.dimension_id),
        **dict.fromkeys(OF_TORQUE_SPEC, spec.pk),
        **dict.fromkeys(OF_PATTERN, pattern.pk),
        **dict.fromkeys(("feature", "feature-change", "feature-withdraw"), feature.pk),
        "specimen-change": specimen.pk,
        "measurement-withdraw": reading.pk,
    }
    named = {f"reference:{name}": {"pk": key} for name, key in keys.items()}
    named["reference:pattern-compare"] = {"pk": pattern.pk, "other": make_pattern(component=component).pk}
    return {**named, "calculations:run": {"name": "wrench-adapter"}}

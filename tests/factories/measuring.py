"""Plain records of the knowledge base for tests; every argument may be changed."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib.auth import get_user_model

from specs.models import (
    Component,
    Dimension,
    FeatureSize,
    Hole,
    HolePattern,
    MatingFeature,
    Measurement,
    Specimen,
    TorqueSpec,
)


def _somebody() -> Any:
    return get_user_model().objects.get_or_create(username="jonas", defaults={"first_name": "Jonas"})[0]


def make_component(**changes: Any) -> Component:
    number = Component.objects.count() + 1
    return Component.objects.create(**{"kind": "gearbox", "maker": "Teskel", "name": f"T{number}", **changes})


def make_specimen(**changes: Any) -> Specimen:
    changes.setdefault("component", None)
    component = changes.pop("component") or make_component()
    return Specimen.objects.create(**{"component": component, "mark": "A1", **changes})


def make_dimension(**changes: Any) -> Dimension:
    component = changes.pop("component", None) or make_component()
    number = Dimension.objects.filter(component=component).count() + 1
    return Dimension.objects.create(
        **{"component": component, "name": f"bellhousing depth {number}", "kind": "length", **changes}
    )


def make_reading(**changes: Any) -> Measurement:
    """A length reading; give `mm` and `tolerance_mm` for the value in millimetres."""
    mm, tolerance_mm = changes.pop("mm", 88.9), changes.pop("tolerance_mm", 0.05)
    dimension = changes.pop("dimension", None) or make_dimension()
    usual = {
        "value": mm / 1000,
        "typed": f"{mm} mm",
        "tolerance": tolerance_mm / 1000,
        "tolerance_typed": f"{tolerance_mm} mm",
        "instrument": "depth gauge",
        "measured_on": date(2026, 3, 2),
    }
    person = changes.pop("person", None) or _somebody()
    return Measurement.objects.create(dimension=dimension, person=person, **{**usual, **changes})


def make_pattern(holes: list[dict[str, Any]] | None = None, **changes: Any) -> HolePattern:
    """A pattern of two dowels and two bolts unless `holes` says otherwise."""
    component = changes.pop("component", None) or make_component()
    usual = {
        "face": "front face",
        "datum": "shaft axis; x to the right along the dowel line",
        "seen_from": "gearbox",
        "measured_on": date(2026, 3, 2),
        "person": changes.pop("person", None) or _somebody(),
    }
    pattern = HolePattern.objects.create(component=component, **{**usual, **changes})
    for hole in holes or [
        {"name": "D1", "x": -150.0, "y": 0.0, "diameter": 12.0, "kind": "dowel"},
        {"name": "D2", "x": 150.0, "y": 0.0, "diameter": 12.0, "kind": "dowel"},
        {"name": "B1", "x": 120.0, "y": 110.0, "diameter": 11.0, "kind": "clearance"},
        {"name": "B2", "x": -100.0, "y": 125.0, "diameter": 11.0, "kind": "clearance"},
    ]:
        Hole.objects.create(pattern=pattern, **hole)
    return pattern


def make_torque_spec(**changes: Any) -> TorqueSpec:
    component = changes.pop("component", None) or make_component()
    usual = {"place": "bellhousing to plate", "thread": "M10", "grade": "8.8", "count": 8, "condition": "oiled"}
    return TorqueSpec.objects.create(component=component, **{**usual, **changes})


def make_feature(sizes: dict[str, tuple[float, float]] | None = None, **changes: Any) -> MatingFeature:
    """A spline on a shaft; `sizes` are (mm, ± mm) by role, each a measured dimension of the component."""
    component = changes.pop("component", None) or make_component()
    number = MatingFeature.objects.filter(component=component).count() + 1
    usual = {"kind": "spline", "form": "inner", "name": f"input spline {number}", "count": 22}
    feature = MatingFeature.objects.create(component=component, **{**usual, **changes})
    for role, (mm, tolerance_mm) in (sizes or {}).items():
        dimension = make_dimension(component=component, name=f"{feature.name} {role}")
        make_reading(dimension=dimension, mm=mm, tolerance_mm=tolerance_mm)
        FeatureSize.objects.create(feature=feature, role=role, dimension=dimension)
    return feature

"""Bounds of the fastener inputs: the last number refused and the first accepted, in the contract's units."""

from __future__ import annotations

from typing import Any

import pytest

from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import read

BOLT = {"name": "A", "x": 0, "y": 0, "preload": 1000}
DOWEL = {"name": "D", "x": 0, "y": 0, "diameter": 8, "shear_strength": 300}


@pytest.mark.parametrize(
    ("name", "field", "refused", "accepted"),
    [
        ("fastener-torque", "mu_thread", 0, 0.001),
        ("fastener-torque", "mu_thread", 1.001, 1),
        ("fastener-torque", "mu_head", 0, 0.001),
        ("fastener-torque", "mu_head", 1.001, 1),
        ("fastener-torque", "utilisation", 0, 0.001),
        ("fastener-torque", "utilisation", 1.001, 1),
        ("fastener-torque", "wrench", -0.001, 0),
        ("fastener-torque", "wrench", 0.501, 0.5),
        ("fastener-torque", "prevailing_torque", -0.001, 0),
        ("fastener-torque", "set_torque", 0, 0.5),
        ("fastener-torque", "angle", 0, 0.5),
        ("fastener-torque", "tightening_factor", 0.999, 1),
        ("fastener-torque", "mu_low", 0, 0.001),
        ("fastener-torque", "mu_low", 1.001, 1),
        ("fastener-torque", "mu_high", 0, 0.001),
        ("fastener-torque", "mu_high", 1.001, 1),
        ("fastener-torque", "hole", 0, 0.5),
        ("fastener-torque", "washer_thickness", 0, 0.5),
        ("fastener-torque", "washer_outside", 0, 0.5),
        ("fastener-torque", "grip", 0, 0.5),
        ("fastener-torque", "inner_faces", -1, 0),
        ("fastener-torque", "clamped_modulus", 0, 0.5),
        ("thread-engagement", "bolt_tensile_greatest", 0, 0.5),
        ("bolt-group", "overhang_mass", 0, 0.5),
        ("bolt-group", "overhang", 0, 0.5),
        ("bolt-group", "load_factor", 0.999, 1),
        ("bolt-group", "dowels", [{**DOWEL, "length": 0}], [{**DOWEL, "length": 0.5}]),
        ("bolt-group", "dowels", [{**DOWEL, "bearing_strength": 0}], [{**DOWEL, "bearing_strength": 0.5}]),
        ("fastener-torque", "nut_factor", 0, 0.001),
        ("fastener-torque", "nut_factor", 1.001, 1),
        ("fastener-torque", "bearing_diameter", 0, 0.5),
        ("thread-engagement", "engagement", 0, 0.5),
        ("thread-engagement", "bolt_tensile_strength", 0, 0.5),
        ("thread-engagement", "bolt_shear_strength", 0, 0.5),
        ("thread-engagement", "nut_shear_strength", 0, 0.5),
        ("bolt-length", "grip", [0], [0.5]),
        ("bolt-length", "grip", [], [20]),
        ("bolt-length", "washer", -0.001, 0),
        ("bolt-length", "engagement", 0, 0.5),
        ("bolt-length", "hole_depth", 0, 0.5),
        ("bolt-length", "tip_clearance", -0.001, 0),
        ("tightening-sequence", "count", 0, 1),
        ("tightening-sequence", "count", 401, 400),
        ("tightening-sequence", "torque", 0, 0.5),
        ("tightening-sequence", "stages", [0], [0.001]),
        ("tightening-sequence", "stages", [1.001], [1]),
        ("weld-group", "diameter", 0, 0.5),
        ("weld-group", "leg", 0, 0.5),
        ("weld-group", "allowable", 0, 0.5),
        ("bolt-group", "mu", 0, 0.001),
        ("bolt-group", "mu", 1.001, 1),
        ("bolt-group", "bolts", [{**BOLT, "preload": 0}], [{**BOLT, "preload": 0.5}]),
        ("bolt-group", "bolts", [{**BOLT, "area": 0}], [{**BOLT, "area": 0.5}]),
        ("bolt-group", "bolts", [], [BOLT]),
        ("bolt-group", "dowels", [{**DOWEL, "diameter": 0}], [{**DOWEL, "diameter": 0.5}]),
        ("bolt-group", "dowels", [{**DOWEL, "shear_strength": 0}], [{**DOWEL, "shear_strength": 0.5}]),
        ("bolt-group", "dowels", "none", []),
    ],
)
def test_the_bound_stands_where_the_contract_sets_it(name: str, field: str, refused: Any, accepted: Any) -> None:
    calculation = calculations()[name]
    with pytest.raises(BadInput) as told:
        read(calculation, {**calculation.example, field: refused})
    assert list(told.value.errors) == [field]
    read(calculation, {**calculation.example, field: accepted})


@pytest.mark.parametrize(
    ("name", "request_", "defaults"),
    [
        (
            "fastener-torque",
            {"thread": "M10", "grade": "8.8"},
            {"friction": None, "mu_thread": None, "head": "hex", "basis": "yield", "utilisation": 0.9, "wrench": 0.04},
        ),
        ("bolt-length", {"thread": "M10", "grip": [20], "engagement": 15}, {"washer": 0, "tip_clearance": 0.002}),
        ("tightening-sequence", {"count": 8, "torque": 80}, {"stages": (0.3, 0.7, 1.0)}),
        (
            "weld-group",
            {"diameter": 60, "leg": 4, "allowable": 140},
            {"torque": 0, "bending": 0, "axial": 0, "shear": 0},
        ),
        (
            "bolt-group",
            {"bolts": [BOLT]},
            {"dowels": (), "torque": 0, "force_x": 0, "force_y": 0, "mu": None, "omit": ()},
        ),
    ],
)
def test_defaults_are_those_of_the_contract(name: str, request_: dict[str, Any], defaults: dict[str, Any]) -> None:
    given = read(calculations()[name], request_)
    assert {field: getattr(given, field) for field in defaults} == defaults

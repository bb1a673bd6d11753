"""A density typed in g/cm³, or a modulus ten times too large, gave a yes: no flywheel or tube is of such a material."""

from __future__ import annotations

from typing import Any

import pytest

from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import read


@pytest.mark.parametrize(
    ("name", "field", "refused", "accepted"),
    [
        # Magnesium, the lightest metal in use, weighs 1740 kg/m³, carbon fibre 1600 (from memory).
        ("flywheel-stress", "density", 7.85, 1600),
        ("flywheel-inertia", "sections", [{"outside": 280, "inside": 0, "thickness": 20, "density": 7.85}], None),
        ("shrink-fit", "ring_density", 999, 1000),
        ("shrink-fit", "hub_density", 7.2, 7200),
        ("propshaft-speed", "density", 7.85, 1600),
        ("clutch-engagement", "density", 7.2, 7200),
        # Beryllium 1825 J/(kg·K), silver 429 W/(m·K) (from memory).
        ("clutch-engagement", "specific_heat", 50_000, 1825),
        ("clutch-engagement", "conductivity", 5_000, 429),
        # Tungsten 411 GPa, polymers from 1 GPa (from memory).
        ("propshaft-speed", "elastic_modulus", 2_070_000, 411_000),
        ("propshaft-speed", "elastic_modulus", 207, 1_000),
        ("shrink-fit", "ring_modulus", 207, 207_000),
        ("shrink-fit", "hub_modulus", 2_070_000, 110_000),
        # The strongest maraging steel yields at 2 GPa in tension, 0.577 of that in shear (from memory).
        ("propshaft-torsion", "shear_yield", 1201, 1200),
        ("thread-engagement", "nut_shear_strength", 1201, 1200),
        # A cardan joint turns by 45° at most.
        ("joint-angles", "joint_limit", 46, 45),
        ("joint-chain", "joint_limit", 46, 45),
    ],
)
def test_a_figure_that_no_material_has_is_refused(name: str, field: str, refused: Any, accepted: Any) -> None:
    calculation = calculations()[name]
    with pytest.raises(BadInput) as told:
        read(calculation, {**calculation.example, field: refused})
    assert list(told.value.errors) == [field]
    if accepted is not None:
        read(calculation, {**calculation.example, field: accepted})


def test_the_methods_that_refuse_more_have_changed() -> None:
    changed = {"propshaft-speed": 4, "joint-chain": 4, "flywheel-inertia": 2}
    assert {name: calculations()[name].revision for name in changed} == changed

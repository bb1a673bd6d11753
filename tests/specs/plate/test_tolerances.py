"""What a plate's holes and edges may be off by, against ISO 286-2 and ISO 2768-1 (from memory)."""

from __future__ import annotations

import pytest

from specs.plate.tolerances import general_tolerance, tolerance_of


@pytest.mark.parametrize(("diameter", "upper"), [(6, "0.012"), (10, "0.015"), (12, "0.018"), (20, "0.021")])
def test_a_dowels_bore_has_the_limits_of_h7(diameter: float, upper: str) -> None:
    """ISO 286-2, table 6, from memory."""
    assert tolerance_of("dowel", diameter).bore == f"H7 +{upper}/0"


def test_a_dowel_is_placed_ten_times_better_than_a_bolt() -> None:
    assert tolerance_of("dowel", 12).place < tolerance_of("clearance", 11).place == tolerance_of("tapped", 10).place


@pytest.mark.parametrize(("length", "off"), [(25, 0.2), (100, 0.3), (400, 0.5), (401, 0.8), (9000, 1.2)])
def test_edges_keep_the_medium_general_tolerance(length: float, off: float) -> None:
    """ISO 2768-1, table 1, m, from memory."""
    assert general_tolerance(length) == off

"""What is shown of a quantity, to whom, and with how many figures."""

from __future__ import annotations

import math

import pytest
from pint.facets.plain import PlainQuantity

from specs.engine import units
from specs.engine.calculation import calculations
from specs.engine.response import respond
from specs.engine.units import (
    ANGLE,
    FORCE,
    KINDS,
    LENGTH,
    RATIO,
    TORQUE,
    Kind,
)

# Exact by definition (NIST SP 811, appendix B.8, from memory): 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s².
INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665


@pytest.mark.parametrize(
    ("si", "kind", "system", "shown"),
    [
        (0.0889, LENGTH, "metric", "88.9 mm"),
        (0.0889, LENGTH, "inch", "3.5 in"),
        (101.68634612485505, TORQUE, "inch", "75 lbf·ft"),
        (0.3, RATIO, "metric", "0.3"),
        (0.0, LENGTH, "metric", "0 mm"),
        (math.pi, ANGLE, "metric", "180°"),
        (math.inf, FORCE, "metric", "— N"),
    ],
)
def test_a_value_is_shown_in_the_persons_unit(si: float, kind: Kind, system: units.System, shown: str) -> None:
    assert units.show(si, kind, system) == shown


@pytest.mark.parametrize(
    ("value", "band", "shown"),
    # ISO/IEC Guide 98-3 (GUM), 7.2.6: figures of a result follow its uncertainty; its own example is
    # y = 10.05762 Ω with u = 27 mΩ, stated as 10.058 Ω (from memory).
    [(10.05762, 0.027, "10.058"), (88.912, 0.4, "88.9"), (1234.5, 30, "1230"), (12.0, 0.04, "12.00"), (0.004, 5, "0")],
)
def test_no_more_figures_are_shown_than_the_band_supports(value: float, band: float, shown: str) -> None:
    assert units.number(value, band) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0.5 / 3, "0.1667"), (123456.0, "123500"), (1.2e-7, "1.2e-07"), (4.5e12, "4.5e+12"), (-0.25, "-0.25")],
)
def test_without_a_band_four_figures_are_shown(value: float, shown: str) -> None:
    assert units.number(value) == shown


def test_a_power_of_ten_keeps_its_figures() -> None:
    assert units.number(9.9999) == "10"
    assert units.number(99999.0, figures=3) == "100000"


@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize(
    ("si", "kind", "shown"),
    [(9.8e-18, LENGTH, "0"), (-3e-18, LENGTH, "0"), (1e-20, RATIO, "0"), (1e-12, ANGLE, "0°"), (4e-14, TORQUE, "0")],
)
def test_what_rounding_leaves_reads_nought(si: float, kind: Kind, system: units.System, shown: str) -> None:
    assert units.show(si, kind, system).split(" ")[0] == shown


@pytest.mark.parametrize(
    ("si", "kind", "shown"),
    [
        (1e-9, LENGTH, "1e-06 mm"),
        (1.15e-5, KINDS["expansion"], "1.15e-05 1/K"),
        (3e-8, KINDS["inertia"], "3e-08 kg·m²"),
        (2e-9, RATIO, "2e-09"),
    ],
)
def test_what_is_small_but_meant_is_shown(si: float, kind: Kind, shown: str) -> None:
    assert units.show(si, kind) == shown


def test_a_band_that_is_only_rounding_gives_no_figures_away() -> None:
    assert units.show(0.008366, LENGTH, band=1e-18) == "8.366 mm"


def test_within_a_block_figures_are_written_for_its_reader() -> None:
    with units.written_for("inch", {0.0889: 0.002}):
        assert units.show(0.0889, LENGTH) == "3.50 in"
        assert units.show(0.0762, LENGTH) == "3 in"
        assert units.show(0.0889, LENGTH, "metric", band=0.0) == "88.9 mm"
        assert (LENGTH.drawn(0.0254), LENGTH.drawn_unit) == (1.0, "in")
    assert units.show(0.0889, LENGTH) == "88.9 mm"
    assert (LENGTH.drawn(0.0254), LENGTH.drawn_unit) == (25.4, "mm")


def test_a_block_that_fails_leaves_no_reader_behind() -> None:
    with pytest.raises(ZeroDivisionError), units.written_for("inch"):
        raise ZeroDivisionError
    assert units.show(0.0254, LENGTH) == "25.4 mm"


@pytest.mark.parametrize(
    ("mm", "system", "shown"),
    [
        (0.15, "inch", "0.0059 in"),  # ten-thousandths of an inch, not 0.005906
        (1.5, "inch", "0.0591 in"),
        (0.02, "inch", "0.00079 in"),  # two figures are left at least
        (0.01499, "metric", "0.015 mm"),
        (0.2154, "metric", "0.215 mm"),
        (2.7734, "metric", "2.773 mm"),
        (0.00042, "metric", "0.00042 mm"),
    ],
)
def test_a_length_is_shown_as_finely_as_a_workshop_reads_it(mm: float, system: units.System, shown: str) -> None:
    assert units.show(mm / 1000, LENGTH, system) == shown


def test_a_length_that_was_typed_is_shown_as_finely_as_it_was_typed() -> None:
    assert units.show(0.15e-3, LENGTH, "inch", figures=6) == "0.00590551 in"


@pytest.mark.parametrize(
    ("mm", "system", "shown"),
    [
        (149.996, "metric", "149.996 mm"),  # four figures would put the hole 4 µm off, those below 50 µm
        (-121.4231, "metric", "−121.423 mm"),
        (150.0, "metric", "150 mm"),
        (0.0, "metric", "0 mm"),
        (149.996, "inch", "5.9054 in"),
    ],
)
def test_a_place_is_shown_to_the_last_decimal_that_a_workshop_reads(
    mm: float, system: units.System, shown: str
) -> None:
    assert units.show_place(mm / 1000, system) == shown


def test_a_place_and_its_mirror_image_read_alike_also_where_a_band_is_known() -> None:
    with units.written_for("metric", {0.1499962: 0.00004}):
        assert units.show_place(0.1499962) == "150.00 mm"
        assert units.show_place(-0.1499962) == "−150.00 mm"


def test_the_kept_factors_are_those_of_pint() -> None:
    """Wrong? python -m tests.factors writes them anew."""
    assert dict(units.kept_factors()) == {unit: units.factor(unit) for unit in units.kept_factors()}
    kept = set(units.kept_factors().values())
    assert {factor for kind in units.KINDS.values() for factor in kind.words.values()} <= kept


def test_no_pint_quantity_is_made_while_requests_are_answered(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*given: object, **named: object) -> object:
        raise AssertionError("a pint quantity was made")

    monkeypatch.setattr(PlainQuantity, "__new__", refuse)
    with pytest.raises(AssertionError, match="a pint quantity was made"):
        units.registry().Quantity(1, "mm")
    for name, calculation in calculations().items():
        assert "outputs" in respond(name, calculation.example)
    assert respond("wrench-adapter", {"target": "60 lbf*ft", "wrench_length": "16 in", "extension": "2 in"})["outputs"]

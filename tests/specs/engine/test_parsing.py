"""Typed text: what is understood, what is refused and in which words."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies

from specs.engine import parsing
from specs.engine.units import (
    ANGLE,
    DENSITY,
    FORCE,
    KINDS,
    LENGTH,
    MASS,
    RATIO,
    SPEED,
    STRESS,
    TORQUE,
    Kind,
)

# Exact by definition (NIST SP 811, appendix B.8, from memory): 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s².
INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665


@pytest.mark.parametrize(
    ("typed", "kind", "si"),
    [
        ("3.5 in", LENGTH, 3.5 * INCH),
        ("3 1/2 in", LENGTH, 3.5 * INCH),
        ("3/8 in", LENGTH, 0.375 * INCH),
        ('1 1/8"', LENGTH, 1.125 * INCH),
        ("1 1/8 ″", LENGTH, 1.125 * INCH),
        ("6′", LENGTH, 72 * INCH),
        ("1-1/2 in", LENGTH, 1.5 * INCH),
        ("½ in", LENGTH, 0.5 * INCH),
        ("1½ in", LENGTH, 1.5 * INCH),
        ("−1-1/2 in", LENGTH, -1.5 * INCH),
        ("4 thou", LENGTH, 0.004 * INCH),
        ("4 mil", LENGTH, 0.004 * INCH),
        # The prefix micro is 10⁻⁶ (BIPM, The International System of Units, 9th edition, table 7, from memory).
        ("20 \u00b5m", LENGTH, 20e-6),
        ("20 \u03bcm", LENGTH, 20e-6),
        ("0,8um", LENGTH, 0.8e-6),
        ("−12.5 um", LENGTH, -12.5e-6),
        ("1/64 in", LENGTH, INCH / 64),
        ("14,985 mm", LENGTH, 0.014985),
        ("12,500 mm", LENGTH, 0.0125),
        ("14,985", LENGTH, 0.014985),
        ("6,500 rpm", SPEED, 6500 / 60 * 2 * math.pi),
        ("2 kip", FORCE, 2000 * POUND * GRAVITY),
        ("30 %", RATIO, 0.3),
        ("3° 30'", ANGLE, math.radians(3.5)),
        ("−3° 30′ 36″", ANGLE, -math.radians(3.51)),
        ("88,9", LENGTH, 0.0889),
        ("88.9", LENGTH, 0.0889),
        ("0,250", LENGTH, 0.00025),
        ("1234,567", LENGTH, 1.234567),
        ("  -3 mm ", LENGTH, -0.003),
        ("−3 mm", LENGTH, -0.003),
        (".5 m", LENGTH, 0.5),
        ("1e2", LENGTH, 0.1),
        ("75 lbf ft", TORQUE, 75 * POUND * GRAVITY * 12 * INCH),
        ("75 lb ft", TORQUE, 75 * POUND * GRAVITY * 12 * INCH),
        ("75 ft lb", TORQUE, 75 * POUND * GRAVITY * 12 * INCH),
        ("100 lbf*in", TORQUE, 100 * POUND * GRAVITY * INCH),
        ("25 Nm", TORQUE, 25.0),
        ("25 N·m", TORQUE, 25.0),
        ("2 kgf*m", TORQUE, 2 * GRAVITY),
        ("300 lbf", FORCE, 300 * POUND * GRAVITY),
        ("10 ksi", STRESS, 10_000 * POUND * GRAVITY / INCH**2),
        ("2 bar", STRESS, 200_000.0),
        ("3000", SPEED, 100 * math.pi),
        ("50 Hz", SPEED, 100 * math.pi),
        ("180°", ANGLE, math.pi),
        ("1–1/2 in", LENGTH, 1.5 * INCH),
        ("3.5”", LENGTH, 3.5 * INCH),
        ("7,850 kg/m^3", DENSITY, 7850.0),
        ("2 lb", MASS, 2 * POUND),
        ("3/8", RATIO, 0.375),
    ],
)
def test_what_a_fitter_types_is_understood(typed: str, kind: Kind, si: float) -> None:
    reading = parsing.read(typed, kind)
    assert reading.value == pytest.approx(si, rel=1e-12)
    assert reading.typed == typed


@pytest.mark.parametrize(
    ("typed", "kind", "words"),
    [
        ("3.5 kg", LENGTH, ["mass", "length", "mm", "in"]),
        ("1,250", LENGTH, ["1.250", "1250"]),
        ("1,250 N·m", TORQUE, ["1.250", "1250"]),
        ("1,250 \u00b5m", LENGTH, ["1.250", "1250"]),
        ("20 \u00b5m", FORCE, ["length", "force"]),
        ("20 \u00b5", LENGTH, ["not known", "μm"]),
        ("12 7/16", LENGTH, ["looks like inches", "12 7/16 in"]),
        ("½", LENGTH, ["looks like inches"]),
        ("3° 75'", ANGLE, ["minutes", "less than 60"]),
        ("12.4 ± 0.05", LENGTH, ["±", "type 12.4"]),
        ("1,250.5", LENGTH, ["thousands", "1250.5"]),
        ("1,250,000", LENGTH, ["thousands", "1250000"]),
        ("1 250", LENGTH, ["thousands", "1250"]),
        ("1'250", LENGTH, ["thousands", "1250"]),
        ("25 mPa", STRESS, ['"mPa"', "MPa"]),
        ("300 lbf", TORQUE, ["force", "torque"]),
        ("20 N*m", FORCE, ["torque", "force"]),
        ("3 mm", RATIO, ["length", "ratio", "plain number"]),
        ("9**9**8", LENGTH, ["not known"]),
        ("__import__('os')", LENGTH, ["not a number"]),
        ("1e999", LENGTH, ["too large"]),
        ("1e308 ksi", STRESS, ["too large"]),
        ("1/0", LENGTH, ["zero"]),
        ("1.2.3", LENGTH, ["not a number"]),
        ("1,2,3", LENGTH, ["not a number"]),
        ("nan", LENGTH, ["not a number"]),
        ("١٢", LENGTH, ["not a number"]),
        ("", LENGTH, ["Nothing was typed"]),
        ("1" * 100, LENGTH, ["too long"]),
    ],
)
def test_what_cannot_be_one_thing_is_refused_in_words(typed: str, kind: Kind, words: list[str]) -> None:
    with pytest.raises(parsing.NotUnderstood) as refused:
        parsing.read(typed, kind)
    for word in words:
        assert word in str(refused.value)


def test_a_bare_number_is_in_the_unit_printed_beside_the_field() -> None:
    assert parsing.read("3.5", LENGTH, "in").value == pytest.approx(3.5 * INCH)
    assert parsing.read("3.5 mm", LENGTH, "in").value == pytest.approx(0.0035)


@given(strategies.floats(1e-6, 1e6), strategies.sampled_from([(k, w) for k in KINDS.values() for w in k.words]))
def test_every_unit_word_goes_there_and_back(value: float, of: tuple[Kind, str]) -> None:
    kind, word = of
    assert kind.from_si(kind.to_si(value, word), word) == pytest.approx(value, rel=1e-12)
    if word != "1":
        assert parsing.read(f"{value!r} {word}", kind).value == pytest.approx(kind.to_si(value, word), rel=1e-12)


@given(strategies.text(max_size=30))
def test_any_text_is_a_finite_number_or_refused_in_words(text: str) -> None:
    try:
        value, words = parsing.read(text, LENGTH).value, "understood"
    except parsing.NotUnderstood as refused:
        value, words = 0.0, str(refused)
    assert math.isfinite(value)
    assert words


@pytest.mark.parametrize(
    ("typed", "value", "tolerance"),
    [
        ("12.4 ± 0.05", 0.0124, 0.00005),
        ("12.4 mm ± 0.05", 0.0124, 0.00005),
        ("12.4 ± 0.05 mm", 0.0124, 0.00005),
        ("1/2 in ± 0.001", 0.5 * INCH, 0.001 * INCH),
        ("12.4 mm ± 2 thou", 0.0124, 0.002 * INCH),
        ("12.4 ± 20 \u00b5m", 0.0124, 0.00002),
        ("12.4 mm ± 20 um", 0.0124, 0.00002),
        ("20 \u00b5m ± 5", 0.00002, 0.000005),
        ("20 um ± 0.005 mm", 0.00002, 0.000005),
        ("12.4 mm +/- 0.05", 0.0124, 0.00005),
        ("12.4 +- 0,05", 0.0124, 0.00005),
    ],
)
def test_a_reading_may_be_typed_with_its_tolerance(typed: str, value: float, tolerance: float) -> None:
    reading = parsing.read(typed, LENGTH, with_tolerance=True)
    assert (reading.value, reading.tolerance) == (pytest.approx(value), pytest.approx(tolerance))


@pytest.mark.parametrize(("typed", "kind"), [("12.4 ± 5 thou", LENGTH), ("0.12 ± 10 %", RATIO)])
def test_a_size_whose_unit_is_not_that_of_its_tolerance_is_asked_for_it(typed: str, kind: Kind) -> None:
    with pytest.raises(parsing.NotUnderstood, match="in which unit"):
        parsing.read(typed, kind, with_tolerance=True)
    assert parsing.read("0.488 ± 2 thou", LENGTH, "in", with_tolerance=True).value == pytest.approx(0.488 * INCH)
    with pytest.raises(parsing.NotUnderstood, match="such as 0.488 in"):
        parsing.read("0.488 ± 20 \u00b5m", LENGTH, "in", with_tolerance=True)


def test_without_a_tolerance_none_is_claimed() -> None:
    assert parsing.read("12.4", LENGTH, with_tolerance=True).tolerance is None

"""Can the printed working be redone with a pocket calculator?

Every printed line is read from its text alone, as a person keys it in: decimal prefixes are turned into SI (mm, kN,
MPa, cm³; km/h by 3.6), angles are keyed in degrees with the calculator set to degrees, and nothing else is turned.
So a line that wants rad/s or rad and shows rpm or ° comes to another number than it states.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from specs.engine.calculation import calculations
from specs.engine.entry import solve
from specs.engine.working import WorkingLine, written

CASES = json.loads((Path(__file__).parents[1] / "published" / "cases.json").read_text(encoding="utf-8"))
REQUESTS = [(name, calculation.example) for name, calculation in calculations().items()]
REQUESTS += [(case["calculation"], case["inputs"]) for case in CASES]

# What a person knows of units without being told: decimal prefixes, and 3.6 km/h to 1 m/s. All others are keyed as they
# are written: rpm and degrees too.
TURNED = {"mm": 1e-3, "mm²": 1e-6, "cm³": 1e-6, "mm³": 1e-9, "mm⁴": 1e-12, "MPa": 1e6, "km/h": 1 / 3.6, "J/mm²": 1e6}
PLAIN = ("N·m", "N·m/rad", "N", "kg", "kg·m²", "kg/m³", "J", "J/kg/K", "W/(m·K)", "1/K", "K", "s", "rad/s²", "rad/s")
FACTORS = {**TURNED, **dict.fromkeys((*PLAIN, "rad", "rpm", "°", "m"), 1.0)}
UNITS = "|".join(re.escape(unit) for unit in sorted(FACTORS, key=len, reverse=True))
NUMBER = re.compile(rf"(?<![\w.])(\d+(?:\.\d+)?(?:e[+-]?\d+)?)(?: ?({UNITS})(?![A-Za-z/]))?")
RAISED = str.maketrans({"²": "**2", "³": "**3", "⁴": "**4", "⁵": "**5"})

KEYS: dict[str, Callable[..., float]] = {
    "sin": lambda x: math.sin(math.radians(x)),
    "cos": lambda x: math.cos(math.radians(x)),
    "tan": lambda x: math.tan(math.radians(x)),
    "asin": lambda x: math.degrees(math.asin(x)),
    "acos": lambda x: math.degrees(math.acos(x)),
    "atan": lambda x: math.degrees(math.atan(x)),
    "atan2": lambda y, x: math.degrees(math.atan2(y, x)),
    "sqrt": lambda x: math.sqrt(max(x, 0.0)),
    "hypot": math.hypot,
    "abs": abs,
    "min": min,
    "max": max,
}


def _keyed(text: str) -> tuple[str, list[tuple[float, float]]]:
    """The line as it is keyed in, with a place for each number; each number in SI and half its last digit."""
    numbers: list[tuple[float, float]] = []

    def place(found: re.Match[str]) -> str:
        factor = FACTORS[found[2]] if found[2] else 1.0
        numbers.append((float(found[1]) * factor, _half_digit(found[1]) * factor))
        return f"x[{len(numbers) - 1}]"

    line = NUMBER.sub(place, text.replace("**", "^"))
    line = line.translate(RAISED).replace("·", "*").replace("−", "-").replace("√", "sqrt").replace("π", "pi")
    return line.replace("^", "**"), numbers


def _half_digit(number: str) -> float:
    mantissa, _, exponent = number.partition("e")
    decimals = len(mantissa.partition(".")[2])
    # Whole numbers of four figures stand for rounded ones too: 45610 N.
    zeros = len(mantissa) - len(mantissa.rstrip("0")) if "." not in mantissa and len(mantissa) > 4 else 0
    return float(0.5 * 10 ** (int(exponent or 0) - decimals + zeros))


def _worked(line: str, numbers: list[float]) -> float:
    return float(eval(line, {"__builtins__": {}, **KEYS, "pi": math.pi}, {"x": numbers}))  # our own test's text


def assert_keyed_in_it_comes_to_the_same(line: WorkingLine) -> None:
    text, numbers = _keyed(line.numbers or line.symbols)
    exact = [value for value, _ in numbers]
    result = NUMBER.search(line.result.replace("−", "-").replace("-", ""))
    assert result, line
    stated = float(result[1]) * FACTORS[result[2] or "rad"] * (-1 if line.result.startswith(("-", "−")) else 1)
    came = _worked(text, exact)
    unsure = _half_digit(result[1]) * FACTORS[result[2] or "rad"]
    for at, (value, half) in enumerate(numbers):
        moved = [*exact[:at], value + half, *exact[at + 1 :]]
        unsure += abs(_worked(text, moved) - came)
    assert abs(came - stated) <= 1.01 * unsure + 1e-9 * abs(stated), (line, came, stated, unsure)


@pytest.mark.parametrize(("name", "request_"), REQUESTS, ids=[f"{at}-{name}" for at, (name, _) in enumerate(REQUESTS)])
def test_every_printed_line_can_be_redone_from_its_text(name: str, request_: dict[str, Any]) -> None:
    calculation = calculations()[name]
    answer = solve(calculation, request_)
    for line in written(calculation, answer.given, answer.found):
        assert_keyed_in_it_comes_to_the_same(line)


def test_a_line_that_wants_radians_a_second_and_shows_turns_is_noticed() -> None:
    right = WorkingLine("E", "I · ω² / 2", "0.12 kg·m² · (680.7 rad/s)² / 2", "27800 J", "")
    assert_keyed_in_it_comes_to_the_same(right)
    wrong = WorkingLine("E", "I · ω² / 2", "0.12 kg·m² · (6500 rpm)² / 2", "27800 J", "")
    with pytest.raises(AssertionError):
        assert_keyed_in_it_comes_to_the_same(wrong)

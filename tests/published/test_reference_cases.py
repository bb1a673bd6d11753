"""The reference cases: each carries its own published or independent source, shown when it fails."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from specs.engine.calculation import calculations
from specs.engine.entry import solve
from specs.engine.response import respond
from tests.specs.calculations.lines import assert_every_line_holds

HERE = Path(__file__).parent
CASES = json.loads((HERE / "cases.json").read_text(encoding="utf-8"))
BAD = json.loads((HERE / "bad_inputs.json").read_text(encoding="utf-8"))


def _known_only(cases: list[dict[str, Any]]) -> list[Any]:
    return [pytest.param(case, id=f"{at}-{case['calculation']}") for at, case in enumerate(cases)]


def _close(got: Any, expected: Any, case: dict[str, Any]) -> bool:
    if isinstance(expected, list):
        return len(got) == len(expected) and all(_close(a, b, case) for a, b in zip(got, expected, strict=True))
    if isinstance(expected, dict):
        return all(_close(got[key], value, case) for key, value in expected.items())
    if isinstance(expected, (int, float)) and not isinstance(expected, bool):
        return math.isclose(got, expected, rel_tol=case.get("rtol", 0.0), abs_tol=case.get("atol", 0.0))
    return bool(got == expected)


@pytest.mark.parametrize("case", _known_only(CASES))
def test_a_reference_case_holds(case: dict[str, Any]) -> None:
    answer = respond(case["calculation"], case["inputs"])
    assert "errors" not in answer, (answer, case["source"])
    for name, expected in case["expect"].items():
        got = answer["outputs"][name]
        for part in ("value", "list", "text", "rows"):
            if part in expected:
                assert _close(got[part], expected[part], expected), (name, got, expected, case["source"], case["note"])
        if "unit" in expected:
            assert got["unit"] == expected["unit"], (name, case["source"])


@pytest.mark.parametrize("case", _known_only(CASES))
def test_its_working_shows_the_same_figures(case: dict[str, Any]) -> None:
    # Each case takes its own branch of the formulas that are printed; angles that cancel leave a rounding under a root.
    assert_every_line_holds(solve(calculations()[case["calculation"]], case["inputs"]), abs_tol=1e-8)


@pytest.mark.parametrize("case", _known_only(BAD))
def test_a_bad_input_is_named(case: dict[str, Any]) -> None:
    answer = respond(case["calculation"], case["inputs"])
    assert list(answer) == ["errors"], (answer, case["note"])
    assert case["must_name"] in answer["errors"], (answer, case["note"])
    assert all(words.strip() for words in answer["errors"].values())

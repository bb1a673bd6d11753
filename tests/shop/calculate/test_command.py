"""`calculate` on standard input: one request, or one a line, and what never ends a batch."""

from __future__ import annotations

import io
import json

import pytest

from specs.engine import response
from specs.engine.response import answer_lines

GOOD = '{"calculation": "wrench-adapter", "inputs": {"target": 100, "wrench_length": 400, "extension": 100}}'


def answers(*lines: str) -> list[dict]:
    out = io.StringIO()
    answer_lines("".join(f"{line}\n" for line in lines).splitlines(keepends=True), out)
    return [json.loads(line) for line in out.getvalue().splitlines()]


def test_every_line_is_answered_in_its_place_a_blank_one_too() -> None:
    first, blank, last = answers(GOOD, "  ", GOOD)
    assert first == last
    assert first["outputs"]["setting"]["value"] == pytest.approx(80)
    assert "nothing stands in this line" in blank["errors"]["inputs"]


@pytest.mark.parametrize(
    ("line", "name", "words"),
    [
        (GOOD.replace('"target": 100', '"target": 90, "target": 100'), "target", "given twice"),
        (GOOD.replace("{", '{"calculation": "tyre", ', 1), "calculation", "given twice"),
        (GOOD[:-1] + ', "units": "inch"}', "units", "not known beside inputs"),
        ("nonsense", "inputs", "JSON object"),
        ("[1, 2]", "inputs", "JSON object"),
        ("[" * 100_000, "inputs", "JSON object"),
        ("{}", "calculation", "not known"),
    ],
)
def test_a_line_that_cannot_be_meant_is_an_error_at_what_is_wrong(line: str, name: str, words: str) -> None:
    bad, good = answers(line, GOOD)
    assert words in bad["errors"][name]
    assert "outputs" in good


def test_holes_a_rounding_apart_are_refused_in_words() -> None:
    holes = [{"name": name, "x": x, "y": 0} for name, x in (("A", 0), ("B", 1e-300), ("C", 2e-300))]
    request = {"calculation": "pattern-fit", "inputs": {"measured": holes, "reference": holes}}
    bad, good = answers(json.dumps(request), GOOD)
    assert "too small" in next(iter(bad["errors"].values()))
    assert "outputs" in good


def test_a_fault_of_the_program_is_told_in_its_place(monkeypatch) -> None:
    faults = iter([TypeError("witchcraft"), None])
    respond = response.respond

    def faulty(name, request):
        if fault := next(faults):
            raise fault
        return respond(name, request)

    monkeypatch.setattr(response, "respond", faulty)
    bad, good = answers(GOOD, GOOD)
    assert "a fault of this program (TypeError)" in bad["errors"]["inputs"]
    assert "outputs" in good


def test_the_command_states_bands_and_verdicts_within_the_tolerances() -> None:
    joint = {"value": 3, "tolerance": 0.5}
    request = {"gearbox_side": joint, "shaft_side": {**joint, "value": 0}, "pinion_side": joint, "shaft_speed": 5000}
    (answer,) = answers(json.dumps({"calculation": "joint-angles", "inputs": request}))
    worst = answer["outputs"]["torsional_acceleration"]["band"]
    assert worst["low"] == 0
    assert worst["high"] > 200
    assert answer["checks"][0]["verdict"] == "too close to call"
    assert "shaft_speed" in answer["exact"]

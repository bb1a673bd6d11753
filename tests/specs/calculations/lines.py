"""The working of an answer, held against its own figures: every branch of it, not only that of the example."""

from __future__ import annotations

import math

from specs.engine.answer import Answer
from specs.engine.working import symbol_values, value_of, written


def assert_every_line_holds(answer: Answer, abs_tol: float = 1e-12) -> list[str]:
    """Assert that each line's right side gives the value of its left side (SI); return the formulas."""
    declared = answer.calculation
    values = symbol_values(declared, answer.given, answer.found)
    steps = list(declared.working(answer.given, answer.found))
    for step in steps:
        left = step.formula.partition("=")[0].strip()
        stated = {**values, **step.values}[left][0]
        assert math.isclose(value_of(step, values), stated, rel_tol=1e-9, abs_tol=abs_tol), step.formula
    assert all(line.result for line in written(declared, answer.given, answer.found))
    return [step.formula for step in steps]

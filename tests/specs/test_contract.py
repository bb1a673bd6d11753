"""The names, defaults, limits and units that others rely on: commands, kept worksheets, stored records.

`contract.txt` holds them one calculation a block. A line is written by hand when a calculation is added or meant to
change; a change that nobody meant shows here.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from specs.engine.calculation import Calculation, Field, fields_of
from specs.engine.registry import calculations

CONTRACT = (Path(__file__).parent / "contract.txt").read_text(encoding="utf-8")
_LIMITS = ((">", "above"), (">=", "at_least"), ("<", "below"), ("<=", "at_most"))


def _input(field: Field) -> str:
    """An input as "wall>0 mm", "mu=0.12>0<=1", "limit?>=0 mm" (may be left out), "points*3" (three rows or more)."""
    default = "" if field.required or field.optional else f"={field.default}"
    limits = "".join(f"{sign}{limit:g}" for sign, name in _LIMITS if (limit := getattr(field.bounds, name)) is not None)
    many = f"*{field.at_least}" if field.form in ("quantities", "names", "records") else ""
    options = f" of {'|'.join(field.options)}" if field.options else ""
    return f"{field.name}{many}{'?' if field.optional else ''}{default}{limits}{_unit(field)}{options}"


def _unit(field: Field) -> str:
    return f" {field.kind.unit}" if field.kind and field.kind.unit != "1" else ""


def _lines(calculation: Calculation[Any, Any]) -> Iterator[str]:
    for field in fields_of(calculation.inputs).values():
        yield f"  {_input(field)}"
        if field.row:
            yield from (f"    {_input(of_row)}" for of_row in fields_of(field.row).values())
    for field in fields_of(calculation.outputs).values():
        yield f"  -> {field.name}{'?' if field.optional else ''} ({field.form}){_unit(field)}"
        if field.row:
            yield from (
                f"     {of_row.name} ({of_row.form}){_unit(of_row)}" for of_row in fields_of(field.row).values()
            )


def _agreed() -> dict[str, list[str]]:
    blocks = (block.splitlines() for block in CONTRACT.strip().split("\n\n"))
    return {name: lines for name, *lines in blocks}


@pytest.mark.parametrize("name", list(calculations()))
def test_it_takes_and_gives_what_was_agreed(name: str) -> None:
    assert list(_lines(calculations()[name])) == _agreed().get(name, f"{name} is not in contract.txt")


def test_nothing_that_was_agreed_is_gone() -> None:
    assert list(_agreed()) == list(calculations())

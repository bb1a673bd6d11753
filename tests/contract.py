"""The names, defaults, limits and units of every calculation, as text that is kept and reviewed.

``python -m tests.contract`` writes ``tests/specs/contract.txt`` anew. Look at what changed before it is committed:
commands, kept worksheets and stored records rely on every line of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from specs.engine.calculation import Calculation, calculations
from specs.engine.fields import Field, fields_of

KEPT = Path(__file__).parent / "specs" / "contract.txt"
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


def lines_of(calculation: Calculation[Any, Any]) -> Iterator[str]:
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


def contract() -> str:
    """The whole contract: a calculation a block, its name first."""
    blocks = ("\n".join((name, *lines_of(found))) for name, found in calculations().items())
    return "\n\n".join(blocks) + "\n"


if __name__ == "__main__":
    KEPT.write_text(contract(), encoding="utf-8")

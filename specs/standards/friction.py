"""Guide values of friction in threads and under heads, VDI 2230 table A5."""

from dataclasses import dataclass
from functools import cache

from specs.sources import Source
from specs.standards.table import Row, load, source_of


@dataclass(frozen=True)
class Condition:
    """A surface with its lubricant, and the range of µ in thread and under head, at room temperature.

    highest is None where the guideline sets no upper end (class E).
    """

    friction_class: str
    surface: str
    lubricant: str
    lowest: float
    highest: float | None
    source: Source


def _condition(row: Row) -> Condition:
    return Condition(
        friction_class=row["friction_class"],
        surface=row["surface"],
        lubricant=row["lubricant"],
        lowest=float(row["lowest"]),
        highest=float(row["highest"]) if row["highest"] else None,
        source=source_of(row),
    )


@cache
def table() -> tuple[Condition, ...]:
    """Return every condition, most slippery first.

    >>> [condition.lowest for condition in table() if "locking" in condition.lubricant]
    [0.14]
    """
    return load("friction", _condition)

"""Guide values of friction in threads and under heads, VDI 2230 table A5."""

from dataclasses import dataclass
from functools import cache

from specs.phrase import joined, phrase
from specs.standards.publications import Row, Source, load, source_of
from specs.written import num


@dataclass(frozen=True)
class Condition:
    """A surface with its lubricant, and the range of µ in thread and under head, at room temperature.

    highest is None where the guideline sets no upper end (class E). name: in short, with its class, as it is chosen.
    """

    name: str
    friction_class: str
    surface: str
    lubricant: str
    lowest: float
    highest: float | None
    source: Source


def _condition(row: Row) -> Condition:
    return Condition(
        name=row["condition"],
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


@cache
def names() -> tuple[str, ...]:
    """Return the conditions as they are chosen.

    >>> names()[1]
    'B: steel, greased or oiled'
    """
    return tuple(row.name for row in table())


def find(name: str) -> Condition:
    """Return the condition of that name; raises KeyError."""
    return {row.name: row for row in table()}[name]


_IN_SHORT = {
    "A": phrase("with solid lubricant"),
    "B": phrase("greased or well oiled"),
    "C": phrase("as delivered, or with locking compound"),
    "D": phrase("dry zinc"),
    "E": phrase("dry stainless or aluminium"),
}


@cache
def guide() -> str:
    """Say each class in a few words, for the help of a form.

    >>> guide()[:36]
    'with solid lubricant 0.04 to 0.1, gr'
    """
    ranges = {row.friction_class: _range(row) for row in table()}
    said = (phrase("{words} {range}", words=words, range=ranges[name]) for name, words in _IN_SHORT.items())
    return phrase("{classes} (VDI 2230 classes A to E)", classes=joined(", ", said))


def _range(row: Condition) -> str:
    return (
        phrase("{num} and more", num=phrase(num(row.lowest)))
        if row.highest is None
        else phrase("{lowest} to {highest}", lowest=phrase(num(row.lowest)), highest=phrase(num(row.highest)))
    )

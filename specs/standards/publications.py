"""Where values and formulas come from, and reading the published tables kept beside this module.

A table holds values as printed (mm, MPa, threads per inch); its loader converts to SI once. Every row names its source:
`source` is a row of `sources.csv`, `place` the clause or table, `provenance` "read" or "from memory".
"""

import csv
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Literal, TypeVar, cast

INCH = Fraction("0.0254")

Row = dict[str, str]
Record = TypeVar("Record")
Provenance = Literal["read", "from memory"]


@dataclass(frozen=True)
class Source:
    """A publication, its edition, the place in it, and whether that place was read or is remembered.

    A value from memory is as good as a note in the margin: shown with the word, so that a reader may look it up.

    >>> print(Source("ISO 724", "1993", "table 1"))
    ISO 724, 1993, table 1 (from memory)
    """

    title: str
    edition: str = ""
    place: str = ""
    read: Provenance = "from memory"

    def __str__(self) -> str:
        parts = [part for part in (self.title, self.edition, self.place) if part]
        return f"{', '.join(parts)} ({self.read})"


def cite(sources: Iterable[Source]) -> tuple[str, ...]:
    """Print each source once, in the order given.

    >>> cite([Source("ISO 273", "1979"), Source("ISO 273", "1979")])
    ('ISO 273, 1979 (from memory)',)
    """
    return tuple(dict.fromkeys(str(source) for source in sources))


def rows(name: str) -> list[Row]:
    """Return the rows of `<name>.csv` as text, column by column name."""
    text = files("specs.standards").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def load(name: str, make: Callable[[Row], Record]) -> tuple[Record, ...]:
    """Return one record a row of `<name>.csv`."""
    return tuple(make(row) for row in rows(name))


@cache
def publications() -> dict[str, Row]:
    """Return the publications by the short name that tables use for them."""
    return {row["source"]: row for row in rows("sources")}


def source_of(row: Row) -> Source:
    """Return the source of a row: publication, edition, place in it, and whether it was read."""
    publication = publications()[row["source"]]
    return Source(
        title=f"{row['source']} {publication['title']}".strip(),
        edition=publication["edition"],
        place=row["place"],
        read=cast(Provenance, row["provenance"]),
    )


def millimetres(text: str) -> float:
    """Return metres from printed millimetres, the float nearest to the decimal: 10.2 mm is 0.0102 m."""
    return float(f"{text}e-3")


def optional_millimetres(text: str) -> float | None:
    """Return metres, or None for a cell that the standard leaves empty."""
    return millimetres(text) if text else None


def inches(text: str) -> float:
    """Return metres from printed inches, the float nearest to the exact length."""
    return float(Fraction(text) * INCH)


def megapascals(text: str) -> float:
    """Return pascals from printed megapascals."""
    return float(f"{text}e6")

"""Hardened dowel pins, ISO 8734: diameters with tolerance m6, and lengths."""

from dataclasses import dataclass
from functools import cache

from specs.phrase import phrase
from specs.standards.publications import Row, Source, load, millimetres, source_of
from specs.written import num

# Pins of the series differ by 0.5 mm or more; a caliper or probe is well inside this. Common practice, no source.
MEANT = 0.0001


class NoDowel(ValueError):
    """A diameter in which ISO 8734 makes no pin."""


@dataclass(frozen=True)
class Dowel:
    """One pin, SI: nominal diameter, m6 deviations (lower, upper), chamfer, shortest and longest length."""

    diameter: float
    lower: float
    upper: float
    chamfer: float
    shortest: float
    longest: float
    source: Source

    @property
    def lengths(self) -> tuple[float, ...]:
        """Standard lengths of this pin [m]."""
        return tuple(length for length in lengths() if self.shortest <= length <= self.longest)


def _dowel(row: Row) -> Dowel:
    return Dowel(
        diameter=millimetres(row["diameter_mm"]),
        lower=float(f"{row['lower_um']}e-6"),
        upper=float(f"{row['upper_um']}e-6"),
        chamfer=millimetres(row["chamfer_mm"]),
        shortest=millimetres(row["shortest_mm"]),
        longest=millimetres(row["longest_mm"]),
        source=source_of(row),
    )


@cache
def table() -> tuple[Dowel, ...]:
    """Return every pin, thinnest first."""
    return load("dowels", _dowel)


@cache
def lengths() -> tuple[float, ...]:
    """Return the lengths of the series [m]."""
    return load("dowel_lengths", lambda row: millimetres(row["length_mm"]))


def find(diameter: float) -> Dowel:
    """Return the pin of a nominal diameter [m]; raises NoDowel naming the diameters that there are.

    >>> find(0.012).upper
    1.8e-05
    """
    for dowel in table():
        if abs(dowel.diameter - diameter) < 1e-9:
            return dowel
    sizes = ", ".join(num(dowel.diameter * 1000) for dowel in table())
    raise NoDowel(phrase("ISO 8734 has no {num} mm pin; there are {sizes} mm", num=num(diameter * 1000), sizes=sizes))


def nearest(diameter: float) -> Dowel | None:
    """Return the pin whose nominal diameter [m] a measured one means, or None where no pin is within 0.1 mm of it.

    >>> nearest(0.0119994).diameter
    0.012
    """
    pin = min(table(), key=lambda dowel: abs(dowel.diameter - diameter))
    return pin if abs(pin.diameter - diameter) <= MEANT else None

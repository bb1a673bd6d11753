"""Preferred nominal lengths of bolts and screws, ISO 888."""

from functools import cache

from specs.standards.publications import load, millimetres

# A sum of layers may miss a printed length by a rounding error; a thousandth of a micrometre is no length.
_ROUNDING = 1e-9


@cache
def preferred() -> tuple[float, ...]:
    """Return the preferred lengths [m], rising."""
    return load("bolt_lengths", lambda row: millimetres(row["length_mm"]))


def standard_at_least(length: float) -> float | None:
    """Return the shortest preferred length [m] that is not under `length` [m], or None beyond the longest.

    >>> standard_at_least(0.048)
    0.05
    >>> standard_at_least(0.065)
    0.065
    """
    return next((standard for standard in preferred() if standard >= length - _ROUNDING), None)

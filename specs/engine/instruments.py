"""How finely the instruments of a workshop read: what no reading taken with one can be better than.

Half of what a scale shows, or the limit of error that the instrument's own standard allows, whichever is more, in SI
units, by a word of the instrument's name. From memory after DIN 862 (calipers), DIN 863-1 (micrometers) and common
practice: a figure that is asked about, not a limit that refuses.
"""

from __future__ import annotations

import re

# The more particular word first: a depth micrometer is a micrometer. By kind of quantity.
_FINEST: tuple[tuple[str, str, float], ...] = (
    ("micrometer", "length", 2e-6),
    ("bore gauge", "length", 2e-6),
    ("caliper", "length", 2e-5),
    ("depth gauge", "length", 2e-5),
    ("height gauge", "length", 2e-5),
    ("straight edge", "length", 2e-5),
    ("dial", "length", 2e-6),
    ("feeler", "length", 5e-6),
    ("tape", "length", 5e-4),
    ("rule", "length", 2e-4),
    ("ruler", "length", 2e-4),
    ("protractor", "angle", 1.7e-3),
)
_ROUNDING = 1e-9
# What stands where an instrument would, for a figure that nobody read off a piece.
_PRINTED = ("data sheet", "datasheet", "manual", "catalogue", "handbook", "leaflet", "drawing", "standard")


def is_printed(instrument: str) -> bool:
    """Whether a figure was taken from print, of the kind and not of one piece.

    >>> is_printed("maker's data sheet"), is_printed("depth gauge 2")
    (True, False)
    """
    return any(word in instrument.casefold() for word in _PRINTED)


def finest(instrument: str, kind: str) -> float | None:
    """Return the least ± [SI] that a reading of this kind has with an instrument, or None where nothing is known."""
    words = instrument.casefold()
    found = (
        least for word, of_kind, least in _FINEST if of_kind == kind and re.search(rf"\b{re.escape(word)}s?\b", words)
    )
    return next(found, None)


def cannot_read(instrument: str, kind: str, tolerance: float) -> float | None:
    """Return the least ± [SI] of an instrument where a stated one is below it, else None; ± 0 is asked about itself."""
    least = finest(instrument, kind)
    return least if least and 0 < tolerance < least * (1 - _ROUNDING) else None

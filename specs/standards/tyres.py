"""Tyre designations as they stand on the sidewall (ISO 4000-1 passenger, ISO 4209-1 truck, TRA and ETRTO alike)."""

import re
from dataclasses import dataclass

from specs.phrase import phrase
from specs.written import num

INCH = 0.0254  # m

_WRITTEN = re.compile(
    r"(?:P|LT|ST|T)?\s*(?P<width>\d{3})\s*/\s*(?P<aspect>\d{2,3})\s*(?:ZR|R|B|D|-)?F?\s*(?P<rim>\d{2}(?:\.5)?)\s*C?"
    r"(?:\s*\(?\s*\d{2,3}(?:/\d{2,3})?\s*[A-Z]\d?\s*\)?)?(?:\s*(?:XL|RF|EXTRA LOAD|M\+S))*",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Tyre:
    """Section width [m], section height over width [1] and rim diameter [m]."""

    width: float
    aspect: float
    rim: float

    @property
    def free_diameter(self) -> float:
        """Diameter unloaded [m]: rim and two section heights."""
        return self.rim + 2 * self.width * self.aspect


def read_tyre(designation: str) -> Tyre:
    """Read "245/40R18", "P235/75 R15" or "315/80R22.5 156/150L".

    Raises ValueError, in words, for anything else: a size without its aspect ratio would have to be guessed.

    >>> round(read_tyre("205/65R15").free_diameter * 1000, 1)
    647.5
    """
    found = _WRITTEN.fullmatch(designation.strip())
    if not found:
        raise ValueError(
            phrase(
                '"{designation}" is not a tyre size. Type it as on the sidewall, such as 245/40R18.',
                designation=designation,
            )
        )
    width, aspect, rim = int(found["width"]), int(found["aspect"]), float(found["rim"])
    for what, value, low, high in (
        ("width", width, 100, 500),
        (phrase("aspect ratio"), aspect, 20, 100),
        ("rim", rim, 8, 30),
    ):
        if not low <= value <= high:
            raise ValueError(
                phrase(
                    'The {what} {num} of "{designation}" is not between {low} and {high}.',
                    what=what,
                    num=num(value),
                    designation=designation,
                    low=low,
                    high=high,
                )
            )
    return Tyre(width / 1000, aspect / 100, rim * INCH)

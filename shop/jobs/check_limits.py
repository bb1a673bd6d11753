"""Whether what a check found lies within what was specified, as far as both are said in figures.

Specified is free text. Three ways of saying a limit are read: "0.05 mm at most", "3 mm at least", "19.90 to 20.00 mm"
(common practice, no source). Anything else is left to whoever checks.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext

from specs.engine import parsing, units
from specs.engine.parsing import NotUnderstood
from specs.engine.units import Kind

_KINDS = (units.LENGTH, units.ANGLE, units.FORCE, units.TORQUE, units.STRESS, units.MASS, units.TIME, units.SPEED)
_MOST = r"at most|or less|no more than|not more than|max\.?|maximum|≤|<="
_LEAST = r"at least|or more|no less than|not less than|min\.?|minimum|≥|>="
_LIMIT = re.compile(rf"(?P<most>{_MOST})|(?P<least>{_LEAST})", re.IGNORECASE)
_BETWEEN = re.compile(r"(?<=[\w°%])\s*(?:\bto\b|–)\s*(?=[-−+]?\d)")
_NUMBER = re.compile(r"[-−+]?\d[\d.,/ ]*")


@dataclass(frozen=True)
class CheckLimits:
    """Least and greatest of one kind of quantity, SI; infinite where only one side is limited."""

    kind: Kind
    least: float
    most: float


def why_not_within(specified: str, result: str) -> str:
    """Return why a result does not keep to its specification, or "" where it does or where that is not said in figures.

    >>> why_not_within("0.05 mm at most", "0.08 mm")
    '“0.08 mm” is more than “0.05 mm at most” lets pass.'
    >>> why_not_within("19.90 to 20.00 mm", "19.96 to 19.98 mm"), why_not_within("by eye", "clean")
    ('', '')
    """
    limits = next(_limits(specified), None)
    found = _values(result, limits.kind) if limits else []
    if limits is None or not found:
        return ""
    words = {"result": result.strip(), "specified": specified.strip()}
    if max(found) > limits.most and not math.isclose(max(found), limits.most, rel_tol=1e-9):
        return gettext("“{result}” is more than “{specified}” lets pass.").format(**words)
    if min(found) < limits.least and not math.isclose(min(found), limits.least, rel_tol=1e-9):
        return gettext("“{result}” is less than “{specified}” lets pass.").format(**words)
    return ""


def _limits(specified: str) -> Iterator[CheckLimits]:
    signs = list(_LIMIT.finditer(specified))
    for kind in _KINDS:
        if len(signs) == 1:
            stated = _values(_LIMIT.sub(" ", specified), kind)
            if len(stated) == 1:
                is_most = signs[0]["most"] is not None
                yield CheckLimits(kind, -math.inf if is_most else stated[0], stated[0] if is_most else math.inf)
        elif not signs and len(ends := _values(specified, kind)) == 2:
            yield CheckLimits(kind, min(ends), max(ends))


def _values(text: str, kind: Kind) -> list[float]:
    """What a text says in figures, one quantity or the two ends of a range; none where anything else stands in it."""
    ends = _BETWEEN.split(text.strip())
    unit = _NUMBER.sub("", ends[-1], count=1).strip()
    if len(ends) > 2 or not unit:
        return []
    whole = [end if _NUMBER.sub("", end, count=1).strip() else f"{end} {unit}" for end in ends]
    try:
        return [parsing.read(end, kind).value for end in whole]
    except NotUnderstood:
        return []

"""A calculation's checks: a result against a limit, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from specs.engine.units import Kind, System, number, show
from specs.phrase import phrase

Verdict = Literal["holds", "too close to call", "fails", "not known"]


@dataclass(frozen=True)
class Check:
    """A comparison of a result with a limit that the user gave or a source states.

    passed: None where it is not known, for want of something that was not given; `detail` then says what.
    margin: limit/value − 1 for an upper limit, value/limit − 1 for a lower one; negative means failed; None where the
    value is 0 or the quotient says nothing (a lower limit of 0, signs that differ on a passed check, one too large).
    slack: how far the value is on the right side of the limit (SI), negative past it: what a measurement band is held
    against, since it is there where the limit is 0 and has no margin. kind: the slack's, where it is worth reading.
    value, limit: what was compared (SI), where that is two figures. is_upper: whether the value must not exceed the
    limit.
    """

    name: str
    passed: bool | None
    margin: float | None
    detail: str
    slack: float | None = None
    kind: Kind | None = None
    value: float | None = None
    limit: float | None = None
    is_upper: bool = False

    @property
    def verdict(self) -> Verdict:
        """What came of it at the values as given, their tolerances apart."""
        if self.passed is None:
            return "not known"
        return "holds" if self.passed else "fails"


def not_known(name: str, reason: str) -> Check:
    """Check something that cannot be known; `reason` goes on from "not known, because …" and ends without a stop."""
    return Check(name, None, None, reason)


def open_where(check: Check, *lacking: str | None) -> Check:
    """Give a check that fails as it is; one that passes is not known where something is lacking, the first told."""
    reasons = [reason for reason in lacking if reason]
    return not_known(check.name, reasons[0]) if check.passed and reasons else check


def scant(wanted: float, usual: float) -> str | None:
    """Say that a least value was set so far under the usual one that whatever passes, passes at next to nothing."""
    return phrase("the least wanted was set to under half of what is usual") if wanted < usual / 2 - _NOUGHT else None


# Two lengths that differ by less than rounding are equal: 13 mm − 10 mm is not under a limit of 3 mm.
_ROUNDING = 1e-12
# In SI units: what rounding leaves of a difference that is 0, held against a limit of 0 (80 mm · 0.35 − 28 mm).
_NOUGHT = 1e-12


def _rounding(limit: float) -> float:
    return max(_ROUNDING * abs(limit), _NOUGHT)


def _margin(quotient: float | None, passed: bool) -> float | None:
    if quotient is None or not isfinite(quotient):
        return None
    if abs(quotient - 1) <= _ROUNDING:
        return 0.0
    return quotient - 1 if (quotient - 1 >= 0) == passed else None


def at_most(name: str, value: float, limit: float, detail: str, kind: Kind | None = None) -> Check:
    """Check an upper limit: passed where value ≤ limit (SI, both)."""
    passed = value <= limit + _rounding(limit)
    margin = _margin(limit / value if value else None, passed)
    return Check(name, passed, margin, detail, limit - value, kind, value, limit, is_upper=True)


def at_least(name: str, value: float, limit: float, detail: str, kind: Kind | None = None) -> Check:
    """Check a lower limit: passed where value ≥ limit (SI, both)."""
    passed = value >= limit - _rounding(limit)
    margin = _margin(value / limit if value and limit else None, passed)
    return Check(name, passed, margin, detail, value - limit, kind, value, limit)


# Beyond this a share says less than how many times.
_FAR_OFF = 10.0


def margin_words(check: Check, system: System = "metric", band: float = 0.0) -> str:
    """A margin as people say it: "23 % (2.8 mm) reserve", "12 % short of the limit", "9 % over the limit".

    The amount stands alone where no share says more; a value that is its limit is "at the limit". band: half-width of
    the amount [SI], so that neither is written finer than it.
    """
    if check.margin == 0 and check.passed and not band:
        return phrase("at the limit")
    amount = _amount(check, system, band)
    if check.margin is not None and check.margin > _FAR_OFF:
        return phrase("{margin} times over", margin=f"{check.margin + 1:.0f}")
    share = _share(check, band)
    size = f"{share} ({amount})" if share and amount else share or amount
    if not size:
        return ""
    if check.passed:
        return phrase("{size} reserve", size=size)
    return (
        phrase("{size} over the limit", size=size)
        if _is_over(check)
        else phrase("{size} short of the limit", size=size)
    )


def _is_over(check: Check) -> bool:
    return check.value is not None and check.limit is not None and check.value > check.limit


def _share(check: Check, band: float) -> str:
    """The margin [%]; where the value is over an upper limit, how much of the limit it is over."""
    if check.margin is None or check.margin <= -1:
        return ""
    share = abs(check.margin) / (1 + check.margin) if _is_over(check) and not check.passed else abs(check.margin)
    spread = band * abs(share / check.slack) if check.slack else 0.0
    return f"{number(share * 100, spread * 100, figures=2)} %"


def _amount(check: Check, system: System, band: float) -> str:
    if check.slack is None or check.kind is None:
        return ""
    return show(abs(check.slack), check.kind, system, band=band or None)

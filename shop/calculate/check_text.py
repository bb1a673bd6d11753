"""A check put into words: what was compared, what came of it, by how much, and where that lies on a scale."""

from __future__ import annotations

from django.utils.translation import gettext

from shop.calculate.shown_check import CheckScale, ShownCheck
from specs.engine import units
from specs.engine.bands import Banded, holding
from specs.engine.checks import Check, margin_words
from specs.engine.units import Kind, System

_OF_VERDICT: dict[str, str] = {"holds": "holds", "too close to call": "close", "fails": "fails"}


def show_check(check: Check, system: System, banded: Banded | None, kind: Kind | None) -> ShownCheck:
    """Show a check. kind: that of its two figures; None where it is not known."""
    if check.passed is None:
        because = gettext("because {detail}").format(detail=check.detail)
        return ShownCheck(
            check.name,
            "unknown",
            gettext("not known, because {detail}").format(detail=check.detail),
            "",
            "",
            because=because,
        )
    verdict = holding(check, banded) if banded else check.verdict
    half = banded.slacks.get(check.name, 0.0) if banded else 0.0
    value, limit, is_fine = _figures(check, system, kind, half)
    against = gettext("{value} against {limit}").format(value=value, limit=limit) if is_fine else ""
    return ShownCheck(
        check.name,
        _OF_VERDICT[verdict],
        verdict,
        margin_words(check, system, half),
        f"{check.detail}: {against}" if against else check.detail,
        value if kind else "",
        _limit_words(check, limit) if kind else "",
        _scale(check, half) if kind else None,
        check.margin,
    )


def _limit_words(check: Check, limit: str) -> str:
    words = gettext("at most {limit}") if check.is_upper else gettext("at least {limit}")
    return words.format(limit=limit) if limit else ""


def _figures(check: Check, system: System, kind: Kind | None, half: float) -> tuple[str, str, bool]:
    """The value and the limit, with as many figures as tell them apart, and whether it took more than usual.

    "58.2 against 58.2" cannot fail: 58.204 against 58.2 can.
    """
    if check.value is None or check.limit is None:
        return "", "", False
    shown = kind or units.RATIO
    usual = units.show(check.value, shown, system, band=half or None), units.show(check.limit, shown, system)
    if usual[0] != usual[1] or check.slack == 0:
        return *usual, False
    for figures in (5, 6, 7, 8, 9, 10, 11, 12):
        value, limit = (units.show(one, shown, system, 0.0, figures) for one in (check.value, check.limit))
        if value != limit:
            return value, limit, True
    return *usual, False


def _scale(check: Check, half: float) -> CheckScale | None:
    if check.value is None or check.limit is None:
        return None
    ends = (check.value - half, check.value + half)
    low, high = min(0.0, *ends, check.limit), max(0.0, *ends, check.limit)
    room = (high - low) * 0.08
    if not room:
        return None
    low, high = low - (room if low else 0.0), high + (room if high else 0.0)
    places = (round(100 * (one - low) / (high - low), 1) for one in (0.0, check.value, check.limit, *ends))
    return CheckScale(*places)

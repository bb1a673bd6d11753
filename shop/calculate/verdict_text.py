"""What came of a calculation or a question in one line: a mark, the verdict, one quiet line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext, ngettext

from shop.calculate.shown_check import BEGINS, MARKS, WORST_FIRST, ShownCheck, severity


@dataclass(frozen=True)
class VerdictText:
    """The verdict in one line, its mark (of `shop.base.rows.MARKS`), and one quiet line; neither ends with a stop."""

    mark: str
    headline: str
    note: str


def worst_of(checks: Sequence[ShownCheck]) -> str:
    """The worst mark of the checks; "" where there is none."""
    marks = {check.mark for check in checks}
    return next((mark for mark in WORST_FIRST if mark in marks), "")


def checks_verdict(checks: Sequence[ShownCheck], result: str) -> VerdictText:
    """Sum up a calculation: the worst verdict with the first check that came to it; `result` where it has no check."""
    worst = worst_of(checks)
    if not worst:
        return VerdictText("done", result or gettext("Worked out"), "")
    those = sorted((check for check in checks if check.mark == worst), key=severity)
    if worst == "holds":
        return VerdictText(MARKS[worst], str(BEGINS[worst]), _all_hold(those))
    return VerdictText(MARKS[worst], f"{BEGINS[worst]}: {those[0].brief}{and_more(len(those) - 1)}", "")


def and_more(count: int) -> str:
    """How many more there are of what was named; "" where none is."""
    return ngettext(", and {count} more", ", and {count} more", count).format(count=count) if count else ""


def _all_hold(checks: Sequence[ShownCheck]) -> str:
    """How many hold, the least reserve first, and where each has a margin, which has the least."""
    count, shares = len(checks), [check.share for check in checks]
    note = ngettext("{count} check holds", "All {count} checks hold", count).format(count=count)
    if None in shares:
        return note
    least = checks[0]
    words = gettext("{note}; the least reserve: {name}, {margin}")
    return words.format(note=note, name=least.name, margin=least.margin)


def scaled(checks: Sequence[ShownCheck]) -> ShownCheck | None:
    """The check that the scale of a page shows: of the worst that have one, that which is farthest past its limit."""
    return min((check for check in checks if check.scale), key=severity, default=None)

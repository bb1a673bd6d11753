"""Hours worked: pure rules over plain values."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext

from specs.written import num

DAY = Decimal("24")
# Nobody works through this without a break: a tap to pause was forgotten, and the clock alone is not believed.
LONGEST_ENTRY = Decimal("14")
CENT = Decimal("0.01")
# Of two presses at once the one that waited may carry the earlier moment: no clock was set back.
AT_ONCE = timedelta(minutes=1)


def elapsed(started_at: datetime, ended_at: datetime) -> Decimal:
    """Hours between two moments, to a hundredth; a clock set back counts as nothing, never as less."""
    seconds = max((ended_at - started_at).total_seconds(), 0)
    return (Decimal(str(seconds)) / 3600).quantize(CENT, ROUND_HALF_UP)


def why_set_back(started_at: datetime, ended_at: datetime) -> str:
    """Say why a spell that ends before it starts counts for nothing by itself, or "" when it ends after or at once."""
    if started_at - ended_at > AT_ONCE:
        back = gettext(
            "The clock of this box was set back: it says {ended_at}, and the start was at {started_at}."
        ).format(ended_at=f"{ended_at:%H:%M}", started_at=f"{started_at:%H:%M}")
        return gettext("{back} Say how many hours were really worked, and why.").format(back=back)
    return ""


def why_not_counted(hours: Decimal) -> str:
    """Say why a time entry's clock time cannot be taken as hours worked, or "" when it can."""
    if hours > LONGEST_ENTRY:
        return gettext(
            "The clock has been running for {num} hours. Say how many hours were really worked, and why."
        ).format(num=num(hours, ".1f"))
    return ""


def why_not_logged(hours: Decimal, already: Decimal) -> str:
    """Say why `hours` cannot be added to a person's day that has `already`, or "" when they can."""
    if hours < 0:
        return gettext("Hours cannot be less than none.")
    if hours > DAY:
        return gettext("A day has 24 hours; {num} were given.").format(num=num(hours))
    if already + hours > DAY:
        return gettext("{num} hours are already logged on that day; {num_2} more would pass 24.").format(
            num=num(already), num_2=num(hours)
        )
    return ""

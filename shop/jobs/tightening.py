"""Whether what was tightened is what was asked for: pure."""

from __future__ import annotations

# ISO 6789-1:2017: a setting torque tool may be off by 4 % above 10 N·m and by 6 % up to it (from memory).
TOOL_ABOVE_10, TOOL_UP_TO_10 = 0.04, 0.06
TEN_NEWTON_METRES = 10.0


def off_by(value: float, asked: float) -> float:
    """How far a torque is from the one asked for, as a share of it; both in N·m."""
    return value / asked - 1


def is_off(value: float, asked: float) -> bool:
    """Whether a torque (N·m) differs from the one asked for by more than a wrench in date may be off."""
    allowed = TOOL_ABOVE_10 if asked > TEN_NEWTON_METRES else TOOL_UP_TO_10
    return abs(off_by(value, asked)) > allowed + 1e-9


def off_in_words(value: float, asked: float) -> str:
    """ "12 % more than asked", or "" when it is as asked within the tool's own error."""
    if not is_off(value, asked):
        return ""
    share = off_by(value, asked)
    return f"{abs(share):.0%} {'more' if share > 0 else 'less'} than asked".replace("%", " %")

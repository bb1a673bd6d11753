"""Whether what was tightened is what was specified for: pure."""

from __future__ import annotations

# ISO 6789-1:2017: a setting torque tool may be off by 4 % above 10 N·m and by 6 % up to it (from memory).
TOOL_ABOVE_10, TOOL_UP_TO_10 = 0.04, 0.06
TEN_NEWTON_METRES = 10.0


def off_by(value: float, specified: float) -> float:
    """How far a torque is from the one specified, as a share of it; both in N·m."""
    return value / specified - 1


def is_off(value: float, specified: float) -> bool:
    """Whether a torque (N·m) differs from the one specified by more than a wrench in date may be off."""
    allowed = TOOL_ABOVE_10 if specified > TEN_NEWTON_METRES else TOOL_UP_TO_10
    return abs(off_by(value, specified)) > allowed + 1e-9


def off_in_words(value: float, specified: float) -> str:
    """ "12 % more than specified", or "" when it is as specified within the tool's own error."""
    if not is_off(value, specified):
        return ""
    share = off_by(value, specified)
    return f"{abs(share):.0%} {'more' if share > 0 else 'less'} than specified".replace("%", " %")

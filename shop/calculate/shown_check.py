"""A check as it is shown: its words, its row, its place on a scale."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf

from django.utils.translation import gettext, ngettext

from shop.base.language import capfirst, gettext_lazy, word
from shop.base.rows import Row
from specs.phrase import joined

WORST_FIRST = ("fails", "close", "unknown", "doubt", "holds")
MARKS = {"fails": "fails", "close": "check", "unknown": "waiting", "doubt": "check", "holds": "done"}
"""The mark of a row (`shop.base.rows.MARKS`) for what came of a check."""
BEGINS = {
    "fails": gettext_lazy("Fails"),
    "close": gettext_lazy("Too close to call"),
    "unknown": gettext_lazy("Not known"),
    "doubt": gettext_lazy("In doubt"),
    "holds": gettext_lazy("Holds"),
}


@dataclass(frozen=True)
class CheckScale:
    """A value beside its limit on a bar that begins at nought, every place in percent of the bar's length.

    least, most: the ends of the value's band, both its own place where it has none.
    """

    nought: float
    value: float
    limit: float
    least: float
    most: float

    @property
    def band(self) -> float:
        """The width of the band."""
        return round(self.most - self.least, 1)

    @property
    def filled(self) -> float:
        """The width of the bar from nought to the value."""
        return round(abs(self.value - self.nought), 1)

    @property
    def begins(self) -> float:
        """Where the bar begins: nought, or a value below it."""
        return min(self.value, self.nought)

    @property
    def says_nought(self) -> bool:
        """Whether there is room for a 0 beside the words of the limit."""
        return abs(self.limit - self.nought) > 25

    @property
    def nought_anchor(self) -> str:
        return _anchor(self.nought)

    @property
    def value_anchor(self) -> str:
        return _anchor(self.value)

    @property
    def limit_anchor(self) -> str:
        return _anchor(self.limit)


def _anchor(place: float) -> str:
    """Keep a label within the bar's length."""
    return "start" if place < 20 else "end" if place > 75 else "middle"


@dataclass(frozen=True)
class ShownCheck:
    """A check in words: what is checked, whether it holds (within the measurement band or not), by how much.

    A verdict that is not known says why, as `because` does alone, and has no margin or detail. `mark` is a word for the
    style sheet. value, limit: what was compared, "1.55" and "at least 1.2"; empty, and no scale, where that is not two
    figures of a known kind.
    """

    name: str
    mark: str
    verdict: str
    margin: str
    detail: str
    value: str = ""
    limit: str = ""
    scale: CheckScale | None = None
    share: float | None = None
    because: str = ""

    @property
    def brief(self) -> str:
        """The check within a sentence that begins with its verdict."""
        by = self.margin if self.mark == "fails" else ""
        return joined(", ", (words for words in (self.name, self.because, by) if words))


def severity(check: ShownCheck) -> tuple[int, float]:
    """Sorts checks the worst first; of those that came to the same, the one farthest past, or nearest to, its limit."""
    return WORST_FIRST.index(check.mark), inf if check.share is None else check.share


def in_doubt(check: ShownCheck) -> ShownCheck:
    """The check where a reading that went in is in doubt, so that nothing plainly holds."""
    return replace(check, mark="doubt", verdict="in doubt") if check.mark == "holds" else check


def check_rows(checks: Iterable[ShownCheck], heading: str = "") -> list[Row]:
    """Each check as a row, the worst first: what it says, and by how much. heading: what the checks are of."""
    return [_row(check, heading) for check in sorted(checks, key=severity)]


def _row(check: ShownCheck, heading: str) -> Row:
    verdict = gettext("not known") if check.mark == "unknown" else word(check.verdict)
    note = capfirst(joined(": ", filter(None, [check.limit, check.because or check.detail])))
    is_plain = check.mark in ("holds", "fails") and check.value and check.margin
    return Row(
        MARKS[check.mark],
        capfirst(check.name),
        note=joined(" · ", filter(None, [heading, note])),
        figure=check.value or verdict,
        under=check.margin if is_plain or not check.value else verdict,
        red=check.mark == "fails",
        said=BEGINS[check.mark],
    )


def count_words(marks: Iterable[str]) -> str:
    """How many checks came to what, the worst first: "1 fails, 2 not known, 3 hold"."""
    held = list(marks)
    words = {
        "fails": lambda count: ngettext("{count} fails", "{count} fail", count),
        "close": lambda count: ngettext("{count} too close to call", "{count} too close to call", count),
        "unknown": lambda count: ngettext("{count} not known", "{count} not known", count),
        "doubt": lambda count: ngettext("{count} in doubt", "{count} in doubt", count),
        "holds": lambda count: ngettext("{count} holds", "{count} hold", count),
    }
    counted = [(mark, held.count(mark)) for mark in WORST_FIRST]
    return ", ".join(words[mark](count).format(count=count) for mark, count in counted if count)

"""What the page of a worksheet says first: the verdict, the worst first, and whether it is still what was accepted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.text import capfirst

from shop.base.rows import Row
from shop.calculate.answer_text import Presented, ShownCheck
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.rules import WorksheetState
from shop.worksheets.text import StatusText

MARKS = {"fails": "fails", "close": "check", "unknown": "waiting", "doubt": "check", "holds": "done"}


@dataclass(frozen=True)
class VerdictText:
    """The verdict in one line, its mark (one of `shop.base.rows.MARKS`), and one quiet line on what was accepted."""

    mark: str
    headline: str
    note: str


def verdict_text(state: EvaluatedWorksheet, status: StatusText, presented: Presented | None) -> VerdictText:
    """Say whether it holds today; what holds and is not what was accepted is never said to hold without that."""
    if presented is None:
        why = status.problems[0] if status.problems else "no input is given"
        return VerdictText("fails" if state.accepted else "waiting", f"Cannot be worked out: {why}", status.headline)
    verdicts = presented.verdicts
    worst, word, those = verdicts[0] if verdicts else ("", "Worked out", "")
    headline = f"{word}: {those}" if worst not in ("holds", "") else word
    if worst in ("holds", "") and status.doubts:
        return VerdictText("check", f"In doubt: {status.doubts[0]}", status.headline)
    if worst in ("holds", "") and state.status.state is WorksheetState.CHANGED:
        return VerdictText("check", f"{'Holds' if worst else word}, but it is not what was accepted", status.headline)
    mark = MARKS.get(worst, "done")
    return VerdictText("waiting" if mark == "done" and not state.accepted else mark, headline, status.headline)


def check_rows(checks: Iterable[ShownCheck]) -> list[Row]:
    """Each check as a row, the worst first: what it says, and by how much."""
    order = list(MARKS)
    return [_row(check) for check in sorted(checks, key=lambda check: order.index(check.mark))]


def _row(check: ShownCheck) -> Row:
    unknown = check.mark == "unknown"
    return Row(
        MARKS[check.mark],
        capfirst(check.name),
        note=capfirst(check.verdict if unknown else check.detail),
        figure="not known" if unknown else check.verdict,
        under=check.margin,
        red=check.mark == "fails",
    )

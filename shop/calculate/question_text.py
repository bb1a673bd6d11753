"""A question's answer in one line: yes, no or why not, with the check that decides it; then the figures."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import inf

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.rows import Row
from shop.calculate.answer_text import Presented
from shop.calculate.shown_check import BEGINS, MARKS, WORST_FIRST, ShownCheck, check_rows, count_words, severity
from shop.calculate.verdict_text import VerdictText, scaled, worst_of
from specs.engine.question import Question, Unanswered
from specs.phrase import joined

_BEGINS = {"close": gettext_lazy("Too close to call"), "unknown": gettext_lazy("Not known")}
_PLACE = re.compile(r"{(\w+)\.(\w+)([%!]?)}")

Parts = Mapping[str, tuple[str, Presented]]


@dataclass(frozen=True)
class OpenPoint:
    """A check that does not hold, or a part without an answer, in words; whether it is of a part that decides."""

    mark: str
    words: str
    decides: bool


def verdict(question: Question, parts: Parts, unanswered: tuple[Unanswered, ...]) -> VerdictText:
    """Answer the question's title. Parts are by key, each with its heading and what is shown of it.

    What is open in a part that does not decide the title is said as well: no yes stands alone while something fails.
    """
    points = _open_points(question, parts, unanswered)
    figures = [sentence for said in question.says if (sentence := _filled(said, parts))]
    if not question.decided_by:
        return _figure_first(figures, points)
    mark = _deciding_mark(question, parts, unanswered)
    answer = {"holds": question.yes, "fails": question.no}.get(mark, _BEGINS.get(mark, ""))
    if mark != "holds":
        own = next((point.words for point in points if point.mark == mark and point.decides), "")
        worse = _worse(points, mark)
        shown = MARKS[worse.mark if worse else mark]
        return VerdictText(shown, f"{answer}: {own}" if own else str(answer), _note(figures, worse))
    if not points:
        return VerdictText(MARKS[mark], str(answer), _note(figures))
    but = gettext("{answer}, but {point}").format(answer=answer, point=points[0].words)
    return VerdictText(MARKS[points[0].mark], but, _note(figures))


def all_rows(question: Question, parts: Parts, unanswered: tuple[Unanswered, ...]) -> list[Row]:
    """Every check of every part as a row, the worst first, those of the parts that decide before the others."""
    none = gettext("cannot be worked out")
    without = [
        Row("fails", one.heading, note=one.reason, figure=none, red=True, said=BEGINS["fails"]) for one in unanswered
    ]
    shown = [
        ((WORST_FIRST.index(check.mark), key not in question.decided_by, severity(check)), check_rows([check], heading))
        for key, heading, check in _all_checks(parts)
    ]
    shown.sort(key=lambda one: one[0])
    return [*without, *(row for _, rows in shown for row in rows)]


def counted(parts: Parts, unanswered: tuple[Unanswered, ...]) -> str:
    """How many checks of all parts came to what; a part without an answer counts as one that fails."""
    marks = [check.mark for _, presented in parts.values() for check in presented.checks]
    return count_words([*marks, *("fails" for _ in unanswered)])


def on_scale(question: Question, parts: Parts) -> ShownCheck | None:
    """The check that the scale shows: the worst of the parts that decide, or of all where none does."""
    return scaled(_checks(question, parts, deciding=bool(question.decided_by)))


def pictured(question: Question, parts: Parts) -> Presented | None:
    """The part whose picture stands with the answer: the first that has one, those that decide before the others."""
    return next((parts[key][1] for key in _order(question, parts) if parts[key][1].svg), None)


def _order(question: Question, parts: Parts) -> list[str]:
    return sorted(parts, key=lambda key: key not in question.decided_by)


def _checks(question: Question, parts: Parts, *, deciding: bool) -> list[ShownCheck]:
    keys = [key for key in question.decided_by if key in parts] if deciding else list(parts)
    return [check for key in keys for check in parts[key][1].checks]


def _figure_first(figures: list[str], points: list[OpenPoint]) -> VerdictText:
    """Where a figure was asked for: the figure, unless a check of it fails."""
    first, *others = figures or [gettext("Worked out.")]
    worst = points[0] if points else None
    if worst is None:
        return VerdictText("done", first.removesuffix("."), _note(others))
    if worst.mark == "fails":
        return VerdictText("fails", f"{BEGINS['fails']}: {worst.words}", _note([first, *others]))
    return VerdictText(MARKS[worst.mark], first.removesuffix("."), _note([*others, _sentence(worst)]))


def _deciding_mark(question: Question, parts: Parts, unanswered: tuple[Unanswered, ...]) -> str:
    """The worst mark of what decides; what has no check, or a part without an answer, is not known."""
    deciding = _checks(question, parts, deciding=True)
    headings = {part.heading for part in question.parts if part.key in question.decided_by}
    is_whole = bool(deciding) and not headings & {one.heading for one in unanswered}
    worst = worst_of(deciding) or "unknown"
    return "unknown" if worst == "holds" and not is_whole else worst


def _worse(points: list[OpenPoint], mark: str) -> OpenPoint | None:
    """What is open beside the answer and worse than it."""
    worse = [point for point in points if WORST_FIRST.index(point.mark) < WORST_FIRST.index(mark)]
    return worse[0] if worse else None


def _note(figures: Iterable[str], also: OpenPoint | None = None) -> str:
    return " ".join([*([_sentence(also)] if also else []), *figures]).removesuffix(".")


def _sentence(point: OpenPoint) -> str:
    return f"{BEGINS[point.mark]}: {point.words}."


def _open_points(question: Question, parts: Parts, unanswered: tuple[Unanswered, ...]) -> list[OpenPoint]:
    """All that does not hold, the worst first, that of the parts that decide before that of the others."""
    headings = {part.heading for part in question.parts if part.key in question.decided_by}
    none = gettext("{heading} cannot be worked out")
    without = [
        OpenPoint(
            "unknown" if one.heading in headings else "fails",
            none.format(heading=one.heading),
            one.heading in headings,
        )
        for one in unanswered
    ]
    checked = [
        (severity(check)[1], OpenPoint(check.mark, _point_words(check, heading), key in question.decided_by))
        for key, heading, check in _all_checks(parts)
        if check.mark != "holds"
    ]
    points = [*((-inf, point) for point in without), *checked]
    points.sort(key=lambda one: (WORST_FIRST.index(one[1].mark), not one[1].decides, one[0]))
    return [point for _, point in points]


def _all_checks(parts: Parts) -> Iterator[tuple[str, str, ShownCheck]]:
    """Every check with the key of its part, and its heading where there is more than one part."""
    for key, (heading, presented) in parts.items():
        for check in presented.checks:
            yield key, heading if len(parts) > 1 else "", check


def _point_words(check: ShownCheck, heading: str) -> str:
    """The check after the word that says what came of it: its name, and by how much or why not."""
    where = f"{check.name} ({heading})" if heading else check.name
    by = check.margin if check.mark == "fails" else ""
    return joined(", ", filter(None, [where, check.because, by]))


def _filled(sentence: str, parts: Parts) -> str:
    """The sentence with its figures; empty where one of them is not there."""
    found = {place: _figure(parts, *place) for place in _PLACE.findall(sentence)}
    if not all(found.values()):
        return ""
    return _PLACE.sub(lambda place: found[place[1], place[2], place[3]], sentence)


def _figure(parts: Parts, key: str, name: str, written: str) -> str:
    if key not in parts:
        return ""
    shown = (*parts[key][1].results, *parts[key][1].inputs)
    figure = next((figure for figure in shown if figure.name == name), None)
    if figure and written:
        return figure.percent if written == "%" else figure.setting
    return " ".join(word for word in (figure.value, figure.band) if word) if figure else ""

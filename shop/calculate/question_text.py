"""A question's answer in one sentence: yes, no or why not, then the figures, then every check that does not hold."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext

from shop.base.language import gettext_lazy, word
from shop.calculate.answer_text import WORST_FIRST, Presented, ShownCheck
from specs.engine.question import Question, Unanswered

_BEGINS = {"close": gettext_lazy("Too close to call"), "unknown": gettext_lazy("Not known")}
_PLACE = re.compile(r"{(\w+)\.(\w+)}")

Parts = Mapping[str, tuple[str, Presented]]


@dataclass(frozen=True)
class Summary:
    """The sentence that answers the title. `mark` is a word for the style sheet, `verdict` its first words.

    open_points: each check that does not hold, worst first, those of the title's own parts before the others.
    """

    mark: str
    verdict: str
    figures: str
    open_points: tuple[str, ...]


def summary(question: Question, parts: Parts, unanswered: tuple[Unanswered, ...]) -> Summary:
    """Answer the question's title. Parts are by key, each with its heading and what is shown of it."""
    deciding = [check for key in question.decided_by if key in parts for check in parts[key][1].checks]
    headings = {part.heading for part in question.parts if part.key in question.decided_by}
    is_whole = bool(deciding) and not headings & {one.heading for one in unanswered}
    mark = _worst(deciding, is_whole) if question.decided_by else ""
    verdict = {"holds": question.yes, "fails": question.no}.get(mark, _BEGINS.get(mark, ""))
    said = (_filled(sentence, parts) for sentence in question.says)
    points = (
        *_open_points(question, parts),
        *(gettext("{heading} cannot be worked out").format(heading=one.heading) for one in unanswered),
    )
    return Summary(mark, verdict, " ".join(sentence for sentence in said if sentence), points)


def _worst(checks: list[ShownCheck], is_whole: bool) -> str:
    """The worst mark of the checks; what has no check, or a part without an answer, is not known."""
    marks = {check.mark for check in checks}
    worst = next((mark for mark in WORST_FIRST if mark in marks), "unknown")
    return "unknown" if worst == "holds" and not is_whole else worst


def _open_points(question: Question, parts: Parts) -> Iterator[str]:
    order = sorted(parts, key=lambda key: key not in question.decided_by)
    for mark in WORST_FIRST[:-1]:
        for key in order:
            heading, presented = parts[key]
            for check in presented.checks:
                if check.mark == mark:
                    where = f" ({heading})" if len(parts) > 1 else ""
                    by = f", {check.margin}" if check.margin and mark == "fails" else ""
                    yield f"{check.name}{where}: {word(check.verdict)}{by}"


def _filled(sentence: str, parts: Parts) -> str:
    """The sentence with its figures; empty where one of them is not there."""
    found = {place: _figure(parts, *place) for place in _PLACE.findall(sentence)}
    if not all(found.values()):
        return ""
    return _PLACE.sub(lambda place: found[place[1], place[2]], sentence)


def _figure(parts: Parts, key: str, name: str) -> str:
    if key not in parts:
        return ""
    shown = (*parts[key][1].results, *parts[key][1].inputs)
    figure = next((figure for figure in shown if figure.name == name), None)
    return " ".join(word for word in (figure.value, figure.band) if word) if figure else ""

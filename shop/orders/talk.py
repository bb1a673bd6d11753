"""What was said about an order, by us and by the supplier: chases with their answers, and dates given."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from django.utils.translation import gettext

from shop.base.roles import person_name
from shop.orders.line_history import ShownLine
from shop.orders.models import Chase
from specs.phrase import listed


@dataclass(frozen=True)
class TalkEntry:
    """One thing said: on which day, how, by whom; a chase, or the dates that a supplier gave, with the words used."""

    on: date
    how: str
    who: str
    chase: Chase | None = None
    dates: tuple[str, ...] = ()
    words: str = ""


def talk(chases: Iterable[Chase], lines: Iterable[ShownLine]) -> list[TalkEntry]:
    """Everything said about an order, the latest first; several lines dated in one breath are one entry."""
    asked = [TalkEntry(chase.on, chase.how_words, person_name(chase.person), chase=chase) for chase in chases]
    return sorted([*asked, *_dates(lines)], key=lambda said: said.on, reverse=True)


def _dates(lines: Iterable[ShownLine]) -> list[TalkEntry]:
    given: dict[tuple[date, str, str, str], dict[str, list[str]]] = {}
    lines = list(lines)
    for line in lines:
        standing = [shown for shown in line.promises if shown.number]
        for before, now in pairwise([None, *standing]):
            promise = now.promise  # type: ignore[union-attr]
            key = (promise.given_on, promise.how_words, promise.said_by, promise.words)
            was = gettext(", was {words}").format(words=before.words) if before else ""
            of_day = given.setdefault(key, {}).setdefault(f"{now.words}{was}", [])  # type: ignore[union-attr]
            of_day.append(line.line.what)
    return [
        TalkEntry(
            on, how, by, dates=tuple(_of_lines(said, named, len(lines)) for said, named in days.items()), words=words
        )
        for (on, how, by, words), days in given.items()
    ]


def _of_lines(said: str, named: list[str], all_lines: int) -> str:
    """A date and the lines that it is of, which are not named one by one where it is of them all."""
    if len(named) == all_lines > 1:
        return gettext("all {all_lines} lines: {said}").format(all_lines=all_lines, said=said)
    return f"{listed(named)}: {said}"

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
    given: dict[tuple[date, str, str, str], list[str]] = {}
    for line in lines:
        standing = [shown for shown in line.promises if shown.number]
        for before, now in pairwise([None, *standing]):
            promise = now.promise  # type: ignore[union-attr]
            key = (promise.given_on, promise.how_words, promise.said_by, promise.words)
            was = gettext(", was {words}").format(words=before.words) if before else ""
            given.setdefault(key, []).append(f"{line.line.what}: {now.words}{was}")  # type: ignore[union-attr]
    return [TalkEntry(on, how, by, dates=tuple(dates), words=words) for (on, how, by, words), dates in given.items()]

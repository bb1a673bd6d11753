"""Answers to what somebody typed in the search box, the likeliest first: numbers as printed, then names, then words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import Q, QuerySet
from django.utils.translation import gettext

from shop.base import search_index
from shop.base.common_words import SAMPLE, CommonWords
from shop.base.language import capfirst, word
from shop.base.models import PrintedNumber, SearchEntry
from shop.base.rows import Row
from shop.base.search import Searched, kinds
from shop.base.search_text import SHORTEST, fold, likeness, near, spellings, squeeze
from shop.base.trigrams import among, keys_holding, records_holding, some_holding

# What is read from the index before it is put in order; more words than that find the newest of it.
_MOST_READ = 300
_MOST_NUMBERS = 30
_ALIKE = 0.45
_LAST = "\uffff"
# A longer state is set small and in two lines, or a phone has no room for the name beside it.
_SHORT_STATE = 18


@dataclass(frozen=True)
class SearchResult:
    """One record that was found, and the piece of its words that answers, where that is not its name or its state."""

    kind: Searched
    record: Any
    matched: str

    def row(self) -> Row:
        """The record as a row of the page."""
        kind, record = self.kind, self.record
        matched = gettext("matches “{words}”").format(words=self.matched) if self.matched else ""
        note = " · ".join(filter(None, [word(kind.title), kind.note(record), matched]))
        name, address = capfirst(kind.name(record)), kind.address(record)
        if kind.is_deleted(record):
            return Row("", name, address, note, gettext("Deleted"))
        mark, state = kind.state(record)
        figure, under = (state, "") if len(state) <= _SHORT_STATE else ("", state)
        return Row(mark, name, address, note, figure, under, red=mark in ("fails", "late"), said=state)


def find(text: str, *, most: int, deleted: bool, may: Callable[[str], bool]) -> tuple[list[SearchResult], bool]:
    """The records that answer a text, at most so many, and whether there are more."""
    shown = {kind.label: kind for kind in kinds() if not kind.action or may(kind.action)}
    asked = _Asked(text)
    if not asked.words:
        return [], False
    ranked = _ranked(asked, deleted, shown)
    if not ranked and _made_anew():
        ranked = _ranked(asked, deleted, shown)
    return _read(asked, ranked[:most], shown), len(ranked) > most


def holding(rows: Any, text: str) -> tuple[Any, CommonWords | None]:
    """The rows of a list whose words in the index hold what was typed: every word, or all of them run together; and the
    words, where very many records hold them.

    Words of one or two letters, of which there is no index, are looked for in what the others leave, or in all rows.
    """
    _made_anew()
    asked = _Asked(text)
    groups = [group for group in asked.groups if group]
    if not groups:
        return rows.search(text), None
    kind = rows.model._meta.label_lower
    some = some_holding(kind, groups, SAMPLE + 1)
    are_common = len(some) > SAMPLE
    found = rows.filter(pk__in=records_holding(kind, groups) if are_common else among(some))
    if all(len(word) >= SHORTEST for word in asked.words):
        return found, CommonWords(rows, groups, some) if are_common else None
    return found.search(text), None


def _made_anew() -> bool:
    """See to it that there is an index, and say if it had to be made: a database copied row by row comes without."""
    is_missing = not SearchEntry.objects.exists()
    if is_missing:
        search_index.rebuild()
    return is_missing


class _Asked:
    """What was typed, in every shape in which it is compared."""

    def __init__(self, text: str) -> None:
        self.words = fold(text).split()
        self.whole = squeeze(text)
        self.spellings = spellings(text)

    @property
    def groups(self) -> list[tuple[str, ...]]:
        """Strings of which an entry holds a whole group: every word, or all of them run together."""
        words = tuple(word for word in self.words if len(word) >= SHORTEST)
        squeezed = [(one,) for one in self.spellings if len(one) >= SHORTEST]
        apart = tuple(one for one in map(squeeze, self.words) if len(one) >= SHORTEST)
        # Each once: of what was typed in one shape, the index would be asked for it three times.
        return list(dict.fromkeys([words, apart, *squeezed]))


def _ranked(asked: _Asked, deleted: bool, shown: dict[str, Searched]) -> list[SearchEntry]:
    numbers = dict(_numbers(asked))
    keys = set(numbers) | set(_keys_by_words(asked))
    scored = _scored(_entries(keys, deleted, shown), asked, numbers)
    if not any(score >= _WORDS for score, _ in scored):
        fuzzy = [(_alike(entry, asked), entry) for entry in _entries(_keys_nearly(asked), deleted, shown)]
        scored += [(score, entry) for score, entry in fuzzy if score >= _ALIKE]
    order = {label: kind.order for label, kind in shown.items()}
    scored.sort(key=lambda found: (-found[0], order[found[1].kind], -found[1].pk))
    unique = dict.fromkeys((entry.pk for _, entry in scored))
    by_key = {entry.pk: entry for _, entry in scored}
    return [by_key[key] for key in unique]


def _entries(keys: Iterable[int], deleted: bool, shown: dict[str, Searched]) -> QuerySet[SearchEntry]:
    return SearchEntry.objects.filter(pk__in=list(keys), deleted=deleted, kind__in=list(shown))


def _numbers(asked: _Asked) -> Iterable[tuple[int, str]]:
    """Entries with a printed number that is what was typed, or begins with it."""
    if not asked.whole:
        return
    numbers = PrintedNumber.objects.values_list("entry_id", "number")
    # Those that are just this begin with it, and stand first of them; a telephone number is spelt in other ways too.
    if asked.spellings != [asked.whole]:
        yield from numbers.filter(number__in=asked.spellings)[:_MOST_NUMBERS]
    yield from numbers.filter(_beginning("number", asked.whole)).order_by("number")[:_MOST_NUMBERS]


def _beginning(field: str, start: str) -> Q:
    """By the index of the column: a range where LIKE does not use it."""
    if connection.vendor == "sqlite":
        return Q((f"{field}__gte", start), (f"{field}__lt", start + _LAST))
    return Q((f"{field}__startswith", start))


def _keys_by_words(asked: _Asked) -> list[int]:
    groups = asked.groups
    by_text = keys_holding("text", groups, _MOST_READ)
    # A name is part of the text: where all are read whose text holds the words, so are those whose name does.
    if groups and groups[0] and len(by_text) < _MOST_READ:
        return by_text
    by_name = SearchEntry.objects.filter(_beginning("name", " ".join(asked.words)))
    keys = list(by_name.order_by("name").values_list("pk", flat=True)[:_MOST_READ])
    return [*keys, *keys_holding("name", groups, _MOST_READ), *by_text]


def _keys_nearly(asked: _Asked) -> list[int]:
    pairs = [pair for word in asked.words for pair in near(word)]
    return keys_holding("name", pairs, _MOST_READ) or keys_holding("text", pairs, _MOST_READ)


_NUMBER, _NUMBER_BEGINS, _NAME, _NAME_BEGINS, _IN_NAME, _WHOLE_WORDS, _WORDS = 100.0, 90.0, 80.0, 70.0, 60.0, 50.0, 40.0


def _scored(entries: Iterable[SearchEntry], asked: _Asked, numbers: dict[int, str]) -> list[tuple[float, SearchEntry]]:
    scored = [(_score(entry, asked, numbers.get(entry.pk, "")), entry) for entry in entries]
    return [(score, entry) for score, entry in scored if score]


def _score(entry: SearchEntry, asked: _Asked, number: str) -> float:
    if number and number in asked.spellings:
        return _NUMBER
    if number and len(asked.whole) > 1:
        return _NUMBER_BEGINS
    name, whole = entry.name, " ".join(asked.words)
    if name == whole or squeeze(name) == asked.whole:
        return _NAME
    if name.startswith(whole):
        return _NAME_BEGINS
    if all(word in name for word in asked.words) or (asked.whole and asked.whole in squeeze(name)):
        return _IN_NAME + _share_whole(name, asked)
    if all(word in entry.text for word in asked.words) or any(one in entry.text for one in asked.spellings):
        return (_WHOLE_WORDS if _share_whole(entry.text, asked) == 1 else _WORDS) + _share_in_name(name, asked)
    return 0.0


def _share_whole(text: str, asked: _Asked) -> float:
    held = set(text.split())
    return sum(word in held for word in asked.words) / len(asked.words)


def _share_in_name(name: str, asked: _Asked) -> float:
    return sum(word in name for word in asked.words) / len(asked.words)


def _alike(entry: SearchEntry, asked: _Asked) -> float:
    """How alike every word typed is to the likest word of the entry: the worst of them counts."""
    held = entry.text.split()
    return min(max((likeness(word, other) for other in held), default=0.0) for word in asked.words)


def _read(asked: _Asked, entries: list[SearchEntry], shown: dict[str, Searched]) -> list[SearchResult]:
    """The records of entries, in their order; one query a kind, and what its words are read with."""
    records: dict[tuple[str, int], Any] = {}
    for label in {entry.kind for entry in entries}:
        kind = shown[label]
        rows = kind.show(kind.of_keys(entry.key for entry in entries if entry.kind == label))
        records |= {(label, record.pk): record for record in rows}
    found = [(shown[entry.kind], records.get((entry.kind, entry.key))) for entry in entries]
    return [SearchResult(kind, record, _matched(kind, record, asked)) for kind, record in found if record is not None]


def _matched(kind: Searched, record: Any, asked: _Asked) -> str:
    """The first of a record's words that holds what was typed; "" where its name or its state does."""
    in_sight = f"{kind.name(record)} {kind.note(record)}"
    for said in (in_sight, *kind.numbers(record), *kind.words(record)):
        if said and _holds(said, asked):
            return "" if said == in_sight else _around(said, asked)
    return ""


def _holds(said: str, asked: _Asked) -> bool:
    text = f"{fold(said)} {squeeze(said)}"
    return all(word in text for word in asked.words) or any(one in text for one in asked.spellings)


def _around(said: str, asked: _Asked) -> str:
    """A long piece of text from a little before the first word that was typed."""
    at = fold(said).find(asked.words[0])
    return said if len(said) <= 60 else f"…{said[max(at - 15, 0) : at + 45].strip()}…"

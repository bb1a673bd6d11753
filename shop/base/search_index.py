"""What every record is found by, kept beside the records: written with each save in its transaction, never afterwards.

Verbs save through `shop.base.records`, which calls `keep`; what is saved otherwise calls `keep` or `keep_all` itself.
`rebuild` makes the whole from nothing, `differences` compares the two.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any

from django.db import models, transaction
from django.utils.translation import gettext

from shop.base import trigrams
from shop.base.models import PrintedNumber, SearchEntry
from shop.base.search import Searched, kinds
from shop.base.search_text import fold, indexed_text, squeeze
from shop.base.written import written_as_usual

BATCH = 500
_LONGEST_NAME, _LONGEST_NUMBER = 250, 80


@dataclass(frozen=True)
class Found:
    """What a record is found by, before it is written."""

    kind: str
    key: int
    name: str
    text: str
    deleted: bool
    numbers: frozenset[str]

    def entry(self) -> SearchEntry:
        return SearchEntry(kind=self.kind, key=self.key, name=self.name, text=self.text, deleted=self.deleted)


@written_as_usual()
def found_by(kind: Searched, record: Any) -> Found:
    """What a record of a kind is found by today, in the shop's form, whoever saves it."""
    numbers = [number for number in kind.numbers(record) if number]
    return Found(
        kind.label,
        record.pk,
        fold(kind.name(record))[:_LONGEST_NAME],
        indexed_text([kind.name(record), *numbers, *kind.words(record)]),
        kind.is_deleted(record),
        frozenset(filter(None, (squeeze(number)[:_LONGEST_NUMBER] for number in numbers))),
    )


def keep(record: models.Model) -> None:
    """Update the entry of a saved record, and those of every record that is found by its words."""
    own = [kind for kind in kinds() if kind.model is type(record)]
    moved = [kind for kind in own if _keep(kind, record)]
    for kind in kinds():
        for model, of in kind.told_by:
            # A record that is found itself tells others only when its own words moved.
            if model is type(record) and (moved or not own):
                keep_all(kind.of_keys(of(record)))


def keep_all(records: Iterable[models.Model]) -> None:
    """Update the entries of many records of one kind, in batches."""
    for batch in _batches(records):
        kind = next((kind for kind in kinds() if kind.model is type(batch[0])), None)
        if kind is not None:
            _write(kind, batch)


def _keep(kind: Searched, record: models.Model) -> bool:
    """Write one record's entry, read afresh as its words need; whether anything of it moved."""
    fresh = kind.of_keys([record.pk]).get()
    entry = SearchEntry.objects.filter(kind=kind.label, key=fresh.pk).prefetch_related("numbers").first()
    if entry is not None and _as_kept(entry) == found_by(kind, fresh):
        return False
    with transaction.atomic():
        _write(kind, [fresh])
    return True


def _write(kind: Searched, records: list[Any]) -> None:
    told = {record.pk: found_by(kind, record) for record in records}
    held = SearchEntry.objects.filter(kind=kind.label, key__in=list(told))
    entries = {entry.key: entry for entry in held}
    PrintedNumber.objects.filter(entry__in=entries.values()).delete()
    for key, entry in entries.items():
        entry.name, entry.text, entry.deleted = told[key].name, told[key].text, told[key].deleted
    SearchEntry.objects.bulk_update(entries.values(), ["name", "text", "deleted"])
    fresh = SearchEntry.objects.bulk_create([one.entry() for key, one in told.items() if key not in entries])
    entries |= {entry.key: entry for entry in fresh}
    PrintedNumber.objects.bulk_create(
        PrintedNumber(entry=entries[key], number=number) for key, one in told.items() for number in sorted(one.numbers)
    )
    trigrams.write(entries.values())


def _batches(records: Iterable[Any]) -> Iterator[list[Any]]:
    rows = iter(records)
    while batch := list(islice(rows, BATCH)):
        yield batch


@transaction.atomic
def rebuild() -> int:
    """Forget everything and write it anew from the records; how many entries there are."""
    trigrams.clear()
    PrintedNumber.objects.all().delete()
    SearchEntry.objects.all().delete()
    for kind in kinds():
        keep_all(kind.everything().iterator(chunk_size=BATCH))
    return SearchEntry.objects.count()


def differences() -> list[str]:
    """Every record whose entry is not what it should be, in words; empty where the index is right."""
    kept = {(one.kind, one.key): _as_kept(one) for one in SearchEntry.objects.prefetch_related("numbers")}
    wanted = {
        (kind.label, record.pk): found_by(kind, record)
        for kind in kinds()
        for record in kind.everything().iterator(chunk_size=BATCH)
    }
    wrong = {key for key in kept.keys() | wanted.keys() if kept.get(key) != wanted.get(key)}
    said = [f"{kind} {key}: {_what_is_wrong(kept.get((kind, key)))}" for kind, key in sorted(wrong)]
    return said + _trigram_differences()


def _what_is_wrong(entry: Found | None) -> str:
    return gettext("is not found") if entry is None else gettext("is found by {text}").format(text=f"{entry.text!r}")


def _trigram_differences() -> list[str]:
    written = trigrams.rows()
    if written is None:
        return []
    entries = set(SearchEntry.objects.values_list("pk", "name", "text"))
    return [gettext("trigrams of entry {key}").format(key=key) for key in sorted({row[0] for row in written ^ entries})]


def _as_kept(entry: SearchEntry) -> Found:
    numbers = frozenset(number.number for number in entry.numbers.all())
    return Found(entry.kind, entry.key, entry.name, entry.text, entry.deleted, numbers)

"""What changed since a sheet was printed: its facts as kept beside the facts of today, told thing by thing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.conf import settings
from django.utils.translation import gettext, override

from shop.base.language import capfirst
from shop.orders.text import growing_words
from shop.print.fact_names import name_of

_HEADING = "heading"
# Said of the print and not of the record.
_OF_THE_PRINT = {"number", "date", "made_by", "address", "owner", "document_type", "approved_by", "written"}
_OF_THE_PRINT |= {"language", "at"}
# Codes and marks that stand beside words which say the same, and that older sheets did not keep.
_BESIDE_WORDS = {"kind", "usual"}
# By what an entry of a list is known, the first that it has.
_NAMES = (("component", "name"), ("number", "title"), ("number", "place"), ("title",), ("name",), ("job",), ("step",))


@dataclass(frozen=True)
class FactChange:
    """One thing that a sheet says otherwise than the record today; empty where it was not there, or is gone."""

    what: str
    before: str
    now: str


def facts_changed(before: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[FactChange, ...]:
    """Compare two facts of one kind of sheet, frozen, of one language.

    What a heading says of the print itself does not count, nor a number of days that grows by itself.
    """
    passing = _passing(before.get(_HEADING, {}).get("language") or settings.LANGUAGE_CODE)
    return tuple(_Comparison(passing).compare("", _in_words(before), _in_words(now)))


@cache
def _passing(language: str) -> re.Pattern[str]:
    """Matches what a sheet of that language says of days that pass."""
    with override(language):
        said = sorted(growing_words(), key=len, reverse=True)
    words = "|".join(re.escape(one).replace(re.escape("#"), r"\d+") for one in said)
    return re.compile(rf",?\s?(?:{words})")


def _in_words(value: Any) -> Any:
    """What is told for what it says alone: what follows from it stands beside it since not always (`facts.Told`)."""
    if isinstance(value, Mapping):
        return _in_words(value["said"]) if "said" in value else {key: _in_words(one) for key, one in value.items()}
    return [_in_words(one) for one in value] if isinstance(value, (list, tuple)) else value


class _Comparison:
    """Tells two facts apart, but for words that match `passing`."""

    def __init__(self, passing: re.Pattern[str]) -> None:
        self.passing = passing

    def compare(self, what: str, before: Any, now: Any) -> Iterator[FactChange]:
        if isinstance(before, Mapping) and isinstance(now, Mapping):
            yield from self._objects(what, before, now)
        elif isinstance(before, (list, tuple)) and isinstance(now, (list, tuple)):
            yield from self._lists(what, before, now)
        elif self._settled(before) != self._settled(now):
            yield FactChange(what, _text(before), _text(now))

    def _objects(self, what: str, before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[FactChange]:
        for key in dict.fromkeys([*before, *now]):
            if what == _HEADING and key in _OF_THE_PRINT:
                continue
            if key not in before and (isinstance(now[key], bool) or key in _BESIDE_WORDS):
                continue
            yield from self.compare(_named(what, key), before.get(key), now.get(key))

    def _lists(self, what: str, before: Any, now: Any) -> Iterator[FactChange]:
        old, new = _by_name(before), _by_name(now)
        if old is None or new is None:
            if self._settled(before) != self._settled(now):
                yield FactChange(what, _text(before), _text(now))
            return
        for name in dict.fromkeys([*old, *new]):
            label = f"{what} {name}".strip()
            if name in old and name in new:
                yield from self.compare(label, old[name], new[name])
            else:
                yield FactChange(label, _short(old.get(name)), _short(new.get(name)))

    def _settled(self, value: Any) -> str:
        return self.passing.sub("", _text(value))


def _named(what: str, key: str) -> str:
    """What is told of a fact within another: "Steps 1 Gearbox out, cautions"."""
    if not what:
        return _HEADING if key == _HEADING else capfirst(name_of(key))
    return capfirst(name_of(key)) if what == _HEADING else f"{what}, {name_of(key)}"


def _by_name(entries: Any) -> dict[str, Any] | None:
    """Entries by the name that they are known by; None where they have none, or where two have the same."""
    found: dict[str, Any] = {}
    for entry in entries:
        name = _name(entry)
        if not name or name in found:
            return None
        found[name] = entry[1] if isinstance(entry, (list, tuple)) else entry
    return found


def _name(entry: Any) -> str:
    if isinstance(entry, (list, tuple)):
        return entry[0] if len(entry) == 2 and all(isinstance(one, str) for one in entry) else ""
    if not isinstance(entry, Mapping):
        return ""
    keys = next((keys for keys in _NAMES if all(entry.get(key) for key in keys)), ())
    return " ".join(str(entry[key]) for key in keys)


def _short(entry: Any) -> str:
    if entry is None:
        return ""
    return gettext("on it") if isinstance(entry, Mapping) else _text(entry)


def _text(value: Any) -> str:
    if value is None or value in ("", [], ()):
        return ""
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if isinstance(value, (list, tuple)):
        return "; ".join(filter(None, map(_text, value)))
    if isinstance(value, Mapping):
        return ", ".join(filter(None, map(_text, value.values())))
    return str(value)

"""What changed since a sheet was printed: its facts as kept beside the facts of today, told thing by thing. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext

# Said of the print and not of the record; the tail of a date that passes by itself is no change either.
_OF_THE_PRINT = {"number", "date", "made_by", "address", "owner", "document_type", "approved_by", "written"}
_OF_THE_PRINT |= {"language", "at"}
# Codes and marks that stand beside words which say the same, and that older sheets did not keep.
_BESIDE_WORDS = {"kind", "usual"}
_PASSING = re.compile(r",? \d+ days? overdue|,? silent for \d+ days?(: late)?")
# By what an entry of a list is known, the first that it has.
_NAMES = (("component", "name"), ("number", "title"), ("number", "place"), ("title",), ("name",), ("job",), ("step",))


@dataclass(frozen=True)
class FactChange:
    """One thing that a sheet says otherwise than the record today; empty where it was not there, or is gone."""

    what: str
    before: str
    now: str


def facts_changed(before: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[FactChange, ...]:
    """Compare two facts of one kind of sheet, frozen. What a heading says of the print itself does not count."""
    return tuple(_compare("", _in_words(before), _in_words(now)))


def _in_words(value: Any) -> Any:
    """What is told for what it says alone: what follows from it stands beside it since not always (`facts.Told`)."""
    if isinstance(value, Mapping):
        return _in_words(value["said"]) if "said" in value else {key: _in_words(one) for key, one in value.items()}
    return [_in_words(one) for one in value] if isinstance(value, (list, tuple)) else value


def _compare(what: str, before: Any, now: Any) -> Iterator[FactChange]:
    if isinstance(before, Mapping) and isinstance(now, Mapping):
        yield from _objects(what, before, now)
    elif isinstance(before, (list, tuple)) and isinstance(now, (list, tuple)):
        yield from _lists(what, before, now)
    elif _settled(before) != _settled(now):
        yield FactChange(what, _text(before), _text(now))


def _objects(what: str, before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[FactChange]:
    for key in dict.fromkeys([*before, *now]):
        if what == "Heading" and key in _OF_THE_PRINT:
            continue
        if key not in before and (isinstance(now[key], bool) or key in _BESIDE_WORDS):
            continue
        label = key.replace("_", " ").capitalize() if not what else f"{what}, {key.replace('_', ' ')}"
        yield from _compare(label, before.get(key), now.get(key))


def _lists(what: str, before: Any, now: Any) -> Iterator[FactChange]:
    old, new = _by_name(before), _by_name(now)
    if old is None or new is None:
        if _settled(before) != _settled(now):
            yield FactChange(what, _text(before), _text(now))
        return
    for name in dict.fromkeys([*old, *new]):
        label = f"{what} {name}".strip()
        if name in old and name in new:
            yield from _compare(label, old[name], new[name])
        else:
            yield FactChange(label, _short(old.get(name)), _short(new.get(name)))


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


def _settled(value: Any) -> str:
    return _PASSING.sub("", _text(value))


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

"""A text in English that is said in the reader's language where it is shown.

The engine says what it found in words, and knows nobody. Who reads stands with the program that shows it
(`set_translation`), as with figures (`specs.written`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from html import escape
from typing import Any

Translation = Callable[[str], str]
_translation: Translation = lambda message: message  # noqa: E731


def set_translation(translation: Translation) -> None:
    """Say how a message of this program is put into the language of whoever reads now."""
    global _translation
    _translation = translation


class _Markup(str):
    """Escaped already: whoever escapes once more asks `__html__` first."""

    def __html__(self) -> str:
        return self


class Phrase(str):
    """A message and the values in it, each named in braces.

    Its letters are English: in JSON, in what is kept, in comparisons. Shown (`str`, in a format, on a page) it is said
    in the reader's language, values too.
    """

    # By a dict of its own each of thousands would hold six times as much.
    __slots__ = ("message", "values")

    message: str
    values: dict[str, Any]

    def __new__(cls, message: str, values: dict[str, Any]) -> Phrase:
        filled = message.format(**{name: _english(value) for name, value in values.items()}) if values else message
        text = super().__new__(cls, filled)
        text.message, text.values = message, values
        return text

    def __str__(self) -> str:
        said = _translation(self.message)
        return said.format(**self.values) if self.values else said

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __html__(self) -> str:
        return _Markup(escape(str(self)))

    def format(self, *args: Any, **values: Any) -> str:
        return str(self).format(*args, **values)

    def __mod__(self, values: Any) -> str:
        return str(self) % values

    def __add__(self, other: str) -> Phrase:
        return joined("", [self, other])

    def __radd__(self, other: str) -> Phrase:
        return joined("", [other, self])

    def __reduce__(self) -> tuple[type[Phrase], tuple[str, dict[str, Any]]]:
        return Phrase, (self.message, self.values)


class PhraseEnum(StrEnum):
    """A word out of a few, kept and compared in English as its letters are, and said as a phrase is."""

    def __str__(self) -> str:
        return _translation(self.value)

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __html__(self) -> str:
        return _Markup(escape(str(self)))


def _english(value: Any) -> Any:
    return str.__str__(value) if isinstance(value, Phrase | PhraseEnum) else value


def phrase(message: str, **values: Any) -> str:
    """Return a message with its values filled in.

    >>> phrase("{bolts} bolts carry {load}", bolts=8, load="4.2 kN")
    '8 bolts carry 4.2 kN'
    """
    return Phrase(message, values)


def joined(separator: str, parts: Iterable[str]) -> Phrase:
    """Return texts one after another, each said in the reader's language: `str.join` takes their letters, in English.

    >>> joined("; ", ["8 bolts", "2 dowels"])
    '8 bolts; 2 dowels'
    """
    values = {f"part_{at}": part for at, part in enumerate(parts)}
    return Phrase(separator.join(f"{{{name}}}" for name in values), values)


def listed(parts: Iterable[str]) -> str:
    """Return texts as a sentence lists them.

    >>> listed(["pilot", "spline", "starter"]), listed(["pilot"])
    ('pilot, spline and starter', 'pilot')
    """
    *most, last = [*parts] or [""]
    return phrase("{most} and {last}", most=joined(", ", most), last=last) if most else last


def as_kept(value: Any) -> Any:
    """Return a value as JSON keeps it: a phrase with values by its message and these, so that it can be said again.

    >>> as_kept({"detail": phrase("{gap} left", gap="2 mm")})
    {'detail': {'message': '{gap} left', 'values': {'gap': '2 mm'}}}
    """
    if isinstance(value, Phrase) and value.values:
        return {"message": value.message, "values": as_kept(value.values)}
    if isinstance(value, Mapping):
        return {name: as_kept(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [as_kept(one) for one in value]
    return str.__str__(value) if isinstance(value, str) else value


def from_kept(value: Any) -> Any:
    """Return what `as_kept` gave as it was: every text a phrase again, said as its reader says it.

    >>> from_kept(as_kept(phrase("{gap} left", gap="2 mm")))
    '2 mm left'
    """
    if isinstance(value, str):
        return Phrase(value, {})
    if isinstance(value, Mapping):
        held = {name: from_kept(one) for name, one in value.items()}
        return Phrase(value["message"], held["values"]) if set(value) == {"message", "values"} else held
    return [from_kept(one) for one in value] if isinstance(value, list | tuple) else value

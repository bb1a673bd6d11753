"""Typed numbers: decimals, fractions, marks for thousands, degrees and minutes, and the unit word behind them."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable


class NotUnderstood(ValueError):
    """Typed text that is not a quantity of the kind asked for; the message says what is wrong and what is accepted."""


_DECIMAL = r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?"
_NUMBER = re.compile(
    rf"(?P<sign>[+-]?)\s*(?:(?P<whole>[0-9]+)(?:\s+|\s*-\s*)(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    rf"|(?P<only_top>[0-9]+)/(?P<only_bottom>[0-9]+)|(?P<decimal>{_DECIMAL}))(?P<rest>.*)",
    re.DOTALL,
)
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2}(?:[,'’ ][0-9]{3})+(?![0-9/])(?:[.,][0-9]+)?")
_TWO_WAYS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}(?![0-9.,'’]| [0-9]{3})")
_DEGREES = re.compile(
    rf"(?P<sign>[+-]?)\s*(?P<deg>[0-9]+)\s*°\s*(?P<min>{_DECIMAL})\s*['′](?:\s*(?P<sec>{_DECIMAL})\s*[\"″])?"
)
_PLAIN = str.maketrans({"−": "-", "·": "*", "⋅": "*", "²": "^2", "³": "^3", "\u00a0": " ", "\u202f": " ", "⁄": "/"})
_LONGEST = 60


def _plain(text: str) -> str:
    """Write typographic variants (minus sign, middle dot, superscripts, hard spaces, ½) in their plain form."""
    return "".join(map(_written_out, text)).translate(_PLAIN).strip()


def _written_out(sign: str) -> str:
    if not unicodedata.decomposition(sign).startswith("<fraction>"):
        return sign
    return f" {unicodedata.normalize('NFKC', sign)}"


def split(text: str, is_plausible: Callable[[float, str], bool] | None = None) -> tuple[float, str]:
    """Split typed text into its number and the unit word after it ("3 1/2 in" → 3.5, "in"; "" where none is typed).

    is_plausible: whether a number with that unit word may be meant; it settles "1,250", which is 1.25 unless only 1250
    may be. Raises NotUnderstood for anything that is not a decimal (point or comma), a fraction or a mixed number, for
    what may be meant both ways, for another thousands mark, and for numbers too large to hold.
    """
    plain = _plain(text)
    if not plain:
        raise NotUnderstood("Nothing was typed. Type a number, such as 3.5, 88,9 or 3 1/2.")
    if len(plain) > _LONGEST:
        raise NotUnderstood("This is too long for a number with a unit. Type something like 3.5, 88,9 or 3 1/2.")
    _refuse_thousands(plain)
    found = _NUMBER.fullmatch(plain)
    if not found or found["rest"][:1] in set(".,/'’") or found["rest"][:1].isdigit():
        raise NotUnderstood(f'"{text.strip()}" is not a number. Type a number, such as 3.5, 88,9 or 3 1/2.')
    value, word = _magnitude(found, text), _unit_word(found["rest"])
    if is_plausible and _TWO_WAYS.match(plain):
        value = _meant(plain, value, lambda number: is_plausible(number, word))
    if not math.isfinite(value):
        raise NotUnderstood(f'"{text.strip()}" is too large a number.')
    return value, word


def _meant(plain: str, decimal: float, is_plausible: Callable[[float], bool]) -> float:
    """Settle whether a comma before three digits is a decimal comma; ask where both may be meant."""
    large = decimal * 1000
    if is_plausible(decimal) != is_plausible(large):
        return decimal if is_plausible(decimal) else round(large)
    shown = _TWO_WAYS.match(plain)
    assert shown is not None
    point, digits = shown.group().replace(",", "."), shown.group().replace(",", "")
    raise NotUnderstood(
        f'"{shown.group()}" can be read two ways: {point} (decimal comma) or {digits} (thousands). '
        f"Type {point} or {digits}."
    )


def _refuse_thousands(text: str) -> None:
    found = _THOUSANDS.match(text)
    if found and not _TWO_WAYS.match(text):
        digits = re.sub(r"[,'’ ]", "", found.group())
        raise NotUnderstood(
            f'"{found.group()}" has a thousands mark, which is not accepted: type {digits} for the large number, '
            f"or use a single decimal point."
        )


def _magnitude(found: re.Match[str], text: str) -> float:
    if found["decimal"]:
        value = float(found["decimal"].replace(",", "."))
    else:
        top, bottom = float(found["top"] or found["only_top"]), float(found["bottom"] or found["only_bottom"])
        if bottom == 0:
            raise NotUnderstood(f'"{text}" divides by zero.')
        value = float(found["whole"] or 0) + top / bottom
    return -value if found["sign"] == "-" else value


def _unit_word(rest: str) -> str:
    """Write "lbf ft" and "lbf * ft" as "lbf*ft": a space between two unit words is a product."""
    return re.sub(r"\s*\*\s*|\s+", "*", rest.strip())


def is_fraction(text: str) -> bool:
    """Whether a number was typed as a fraction or a mixed number, as inches are."""
    found = _NUMBER.fullmatch(_plain(text))
    return bool(found and not found["decimal"])


def degrees_and_minutes(text: str) -> float | None:
    """Read an angle in degrees, minutes and seconds [deg]; None where it is not written so.

    >>> degrees_and_minutes("3° 30'")
    3.5
    """
    found = _DEGREES.fullmatch(_plain(text))
    if not found:
        return None
    parts = (float((found[name] or "0").replace(",", ".")) for name in ("deg", "min", "sec"))
    value = sum(part / 60**at for at, part in enumerate(parts))
    return -value if found["sign"] == "-" else value

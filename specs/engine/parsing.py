"""Typed text read as a number or a quantity: decimals, fractions, marks for thousands, degrees and minutes, units.

The unit words are those of `units.KINDS`, an allow-list: text never reaches pint's own parser, which evaluates
expressions and knows far more words than a workshop does.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass

from specs.engine.unit_words import offered
from specs.engine.units import KINDS, Kind
from specs.phrase import phrase


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
_SIGNS = {"−": "-", "·": "*", "⋅": "*", "²": "^2", "³": "^3", "\u00a0": " ", "\u202f": " ", "⁄": "/", "\u00b5": "μ"}
# Dashes and closing quotes that telephones put in place of what was typed.
_PLAIN = str.maketrans(_SIGNS | {"\u2011": "-", "\u2013": "-", "\u201d": '"'})
_PLUS_MINUS = re.compile(r"±|\+\s*/\s*[-−–]|\+[-−–]")
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
        raise NotUnderstood(phrase("Nothing was typed. Type a number, such as 3.5, 88,9 or 3 1/2."))
    if len(plain) > _LONGEST:
        raise NotUnderstood(phrase("This is too long for a number with a unit. Type one like 3.5, 88,9 or 3 1/2."))
    _refuse_thousands(plain)
    found = _NUMBER.fullmatch(plain)
    if not found or found["rest"][:1] in set(".,/'’") or found["rest"][:1].isdigit():
        raise NotUnderstood(
            phrase('"{typed}" is not a number. Type a number, such as 3.5, 88,9 or 3 1/2.', typed=text.strip())
        )
    value, word = _magnitude(found, text), _unit_word(found["rest"])
    if is_plausible and _TWO_WAYS.match(plain):
        value = _meant(plain, value, lambda number: is_plausible(number, word))
    if not math.isfinite(value):
        raise NotUnderstood(phrase('"{typed}" is too large a number.', typed=text.strip()))
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
        phrase(
            '"{typed}" can be read two ways: {point} (decimal comma) or {digits} (thousands): type one of them.',
            typed=shown.group(),
            point=point,
            digits=digits,
        )
    )


def unmistakable(text: str) -> str:
    """A number with a decimal comma so that nobody has to ask: three decimals, which could be thousands, get a fourth.

    >>> unmistakable("1,234 mm"), unmistakable("88,9 mm"), unmistakable("1.234 mm")
    ('1,2340 mm', '88,9 mm', '1.234 mm')
    """
    found = _TWO_WAYS.match(_plain(text))
    return text.replace(found.group(), f"{found.group()}0", 1) if found else text


def _refuse_thousands(text: str) -> None:
    found = _THOUSANDS.match(text)
    if found and not _TWO_WAYS.match(text):
        digits = re.sub(r"[,'’ ]", "", found.group())
        raise NotUnderstood(
            phrase(
                '"{group}" has a thousands mark, which is not accepted: type {digits} for the large number, '
                "or use a single decimal point.",
                group=found.group(),
                digits=digits,
            )
        )


def _magnitude(found: re.Match[str], text: str) -> float:
    if found["decimal"]:
        value = float(found["decimal"].replace(",", "."))
    else:
        top, bottom = float(found["top"] or found["only_top"]), float(found["bottom"] or found["only_bottom"])
        if bottom == 0:
            raise NotUnderstood(phrase('"{text}" divides by zero.', text=text))
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
    held = list(parts)
    if any(part >= 60 for part in held[1:]):
        raise NotUnderstood(phrase('"{typed}": minutes and seconds are less than 60.', typed=text.strip()))
    value = sum(part / 60**at for at, part in enumerate(held))
    return -value if found["sign"] == "-" else value


_KIND_OF_WORD = {word: kind for kind in reversed(KINDS.values()) for word in kind.words}


@dataclass(frozen=True)
class TypedQuantity:
    """A typed quantity as it was understood: its SI value, the unit it was typed in, and the text itself.

    tolerance: the half-width that was typed behind it ("12.4 ± 0.05"), SI; None where there was none.
    """

    value: float
    unit: str
    typed: str
    tolerance: float | None = None


def _article(name: str) -> str:
    return f"an {name}" if name[0] in "aeiou" else f"a {name}"


def _wrong_unit(word: str, kind: Kind, text: str) -> NotUnderstood:
    other = _KIND_OF_WORD.get(word)
    accepts = phrase("a plain number{value}", value=", or one with " + words if (words := offered(kind.words)) else "")
    if other is not None:
        return NotUnderstood(
            phrase(
                '"{typed}" is {article}, but {article_2} is needed here: {accepts}.',
                typed=text.strip(),
                article=_article(other.name),
                article_2=_article(kind.name),
                accepts=accepts,
            )
        )
    return NotUnderstood(
        phrase(
            'The unit "{word}" is not known here. Accepted for {article}: {accepts}.',
            word=word,
            article=_article(kind.name),
            accepts=accepts,
        )
    )


def read(text: str, kind: Kind, bare_unit: str | None = None, *, with_tolerance: bool = False) -> TypedQuantity:
    """Read typed text as a quantity of this kind.

    A number without a unit is taken in `bare_unit` (the unit printed beside the field; the contract's unit by
    default). A comma before three digits is a decimal comma, unless only the large number is plausible of the kind;
    where both are, it is asked. with_tolerance: whether "12.4 ± 0.05" is accepted. Raises NotUnderstood with words for
    the person who typed it.
    """
    stated, *halves = _PLUS_MINUS.split(text, maxsplit=1)
    if not halves:
        return _read_one(text, kind, bare_unit)
    behind = halves[0]
    if not with_tolerance:
        raise NotUnderstood(
            phrase('"{typed}" has a ±, which is not asked for here: type {it}.', typed=text.strip(), it=stated.strip())
        )
    half = _read_one(behind, kind, bare_unit)
    bare, usual = not split(stated)[1], bare_unit or kind.unit
    if bare and _HALVES_ONLY.get(half.unit, usual) != usual:
        known = f"{stated.strip()} {'%' if half.unit == '%' else usual}"
        raise NotUnderstood(
            phrase(
                '"{typed}": say in which unit {it} is, such as {known}.',
                typed=text.strip(),
                it=stated.strip(),
                known=known,
            )
        )
    unit = None if half.unit == "1" else half.unit
    in_unit = split(behind)[1] and half.unit not in _HALVES_ONLY
    value = _read_one(stated, kind, unit if in_unit else bare_unit)
    if not bare and not split(behind)[1]:
        half = _read_one(behind, kind, value.unit)
    if half.value < 0:
        raise NotUnderstood(
            phrase('"{typed}": what is behind ± is how far off either way, 0 or more.', typed=text.strip())
        )
    return TypedQuantity(value.value, value.unit, text, half.value)


def with_unit(text: str, unit: str) -> str:
    """The same text with the unit that its number was meant in written out, where it names none itself.

    >>> with_unit("12.4 ± 0.05", "in"), with_unit("12.4 ± 0.05 mm", "in"), with_unit("3 ± 5 thou", "in")
    ('12.4 in ± 0.05', '12.4 ± 0.05 mm', '3 in ± 5 thou')
    """
    stated, *halves = _PLUS_MINUS.split(text, maxsplit=1)
    try:
        named = [split(part)[1] for part in (stated, *halves)]
    except NotUnderstood:
        return text
    if unit in ("", "1") or named[0] or any(word and word not in _HALVES_ONLY for word in named[1:]):
        return text
    return " ±".join([f"{stated.strip()} {unit}", *halves])


def _read_one(text: str, kind: Kind, bare_unit: str | None) -> TypedQuantity:
    if kind.name == "angle" and (angle := degrees_and_minutes(text)) is not None:
        return TypedQuantity(kind.to_si(angle), kind.unit, text)
    usual = bare_unit or kind.unit
    value, word = split(text, lambda number, word: _is_plausible(number, kind, word or usual))
    unit = word or usual
    if unit not in kind.words:
        raise _wrong_unit(unit, kind, text)
    if unit == "mm" and not word and is_fraction(text):
        raise NotUnderstood(
            phrase('"{typed}" looks like inches: type {typed} in, or the millimetres as decimals.', typed=text.strip())
        )
    si = kind.to_si(value, unit)
    if not math.isfinite(si):
        raise NotUnderstood(phrase('"{typed}" is too large a number.', typed=text.strip()))
    return TypedQuantity(si, unit, text)


# Units that a ± is typed in beside a size in another one: that of a size which is typed without.
_HALVES_ONLY = {"thou": "in", "mil": "in", "μm": "mm", "um": "mm", "%": "%"}
# What a workshop may mean, in the contract's units: both readings of "1,250" are asked about only within these.
_PLAUSIBLE = {
    "length": (0.001, 10_000.0),
    "torque": (0.5, 20_000.0),
    "force": (1.0, 1e6),
    "speed": (50.0, 20_000.0),
    "road speed": (1.0, 400.0),
    "mass": (0.001, 5_000.0),
    "stress": (0.1, 3_000.0),
    "density": (100.0, 25_000.0),
}


def _is_plausible(number: float, kind: Kind, unit: str) -> bool:
    if kind.name not in _PLAUSIBLE or unit not in kind.words:
        return True
    low, high = _PLAUSIBLE[kind.name]
    return low <= abs(kind.from_si(kind.to_si(number, unit))) <= high

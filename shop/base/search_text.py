"""How searched text is compared: without accents, case, separators and the marks that people leave out. Pure."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from itertools import combinations

# Letters that Unicode does not take apart, and signs that are typed as others.
_OTHERWISE = str.maketrans({"ø": "o", "đ": "d", "ł": "l", "æ": "ae", "œ": "oe", "×": "x", "⌀": "", "·": " ", "−": "-"})
# "(0)" in a telephone number is dialled from inside the country only.
_INSIDE = re.compile(r"\(0\)")
_NO_LETTER = re.compile(r"[\W_]+")
SHORTEST = 3
"""Letters that a trigram index needs."""
DIALLED = 7
"""Last digits by which a telephone number is known, whatever country and area are written before them."""


def fold(text: str) -> str:
    """Text as it is compared: no accents, no case, one space between words.

    >>> fold("  Hölis  M10×1.25 ")
    'holis m10x1.25'
    """
    apart = unicodedata.normalize("NFKD", text.casefold().translate(_OTHERWISE))
    return " ".join("".join(letter for letter in apart if not unicodedata.combining(letter)).split())


def squeeze(text: str) -> str:
    """Folded text less all that is no letter or digit: "KX 471-B" and "kx471b" come out alike.

    >>> squeeze("KX 471-B"), squeeze("+31 (0)20 555 01")
    ('kx471b', '312055501')
    """
    return _NO_LETTER.sub("", fold(_INSIDE.sub("", text)))


def indexed_text(words: Iterable[str]) -> str:
    """What a record is found by: every word folded, then each piece of text squeezed, so that none runs into the next.

    >>> indexed_text(["KX 471-B", "Tarn"])
    'kx 471-b tarn | kx471b tarn'
    """
    said = [word for word in words if word]
    return f"{' '.join(map(fold, said))} | {' '.join(map(squeeze, said))}"


def spellings(text: str) -> list[str]:
    """A squeezed text, and where it is a telephone number, its shapes without the digits before the subscriber's.

    >>> spellings("020 555 0142")
    ['0205550142', '205550142', '5550142']
    """
    whole = squeeze(text)
    if not whole.isdecimal() or len(whole) < DIALLED:
        return [whole] if whole else []
    return list(dict.fromkeys((whole, whole.lstrip("0"), whole[-DIALLED:])))


def trigrams(word: str) -> list[str]:
    """The runs of three letters of a word."""
    return [word[at : at + SHORTEST] for at in range(len(word) - SHORTEST + 1)]


def near(word: str) -> list[tuple[str, ...]]:
    """Pairs of trigrams of which a word holds one, if it is this one with a letter wrong, missing or too many."""
    runs = list(dict.fromkeys(trigrams(word)))[:8]
    return list(combinations(runs, 2))


def likeness(word: str, other: str) -> float:
    """How alike two words are, 0 to 1: trigrams of both, with the ends counted, shared among all of them (Dice).

    >>> likeness("holis", "hollis") > 0.6 > likeness("holis", "pellworth")
    True
    """
    one, two = (set(trigrams(f"  {each} ")) for each in (word, other))
    return 2 * len(one & two) / (len(one) + len(two)) if one and two else 0.0

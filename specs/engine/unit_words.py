"""How units are offered to whoever types a quantity."""

from __future__ import annotations

import re
from collections.abc import Iterable

# Units that have a name, not only a mark such as ″; how they are printed.
_NAMED = re.compile(r"[^\W\d]|[°%]")
_PRINTED = str.maketrans({"*": "·", "^": "", "2": "²", "3": "³"})
_PLAIN = str.maketrans({"·": "", "μ": "u"})
_ALSO = {"deg": "°"}


def as_printed(word: str) -> str:
    """Write a unit word with the signs of print, which are read back as well: N·m, kg·m²."""
    return word.translate(_PRINTED)


def offered(words: Iterable[str]) -> str:
    """List the unit words that may be typed, as they are printed and each once: N·m, not N*m and Nm."""
    shown = [_ALSO.get(word, as_printed(word)) for word in words if _NAMED.search(word)]
    last_first = {word.translate(_PLAIN): word for word in reversed(shown)}
    return ", ".join(reversed(last_first.values()))

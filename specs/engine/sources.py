"""Where a value or a formula comes from."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Provenance = Literal["read", "from memory"]


@dataclass(frozen=True)
class Source:
    """A publication, its edition, the place in it, and whether that place was read or is remembered.

    A value from memory is as good as a note in the margin: shown with the word, so that a reader may look it up.

    >>> print(Source("ISO 724", "1993", "table 1"))
    ISO 724, 1993, table 1 (from memory)
    """

    title: str
    edition: str = ""
    place: str = ""
    read: Provenance = "from memory"

    def __str__(self) -> str:
        parts = [part for part in (self.title, self.edition, self.place) if part]
        return f"{', '.join(parts)} ({self.read})"


def cite(sources: Iterable[Source]) -> tuple[str, ...]:
    """Print each source once, in the order given.

    >>> cite([Source("ISO 273", "1979"), Source("ISO 273", "1979")])
    ('ISO 273, 1979 (from memory)',)
    """
    return tuple(dict.fromkeys(str(source) for source in sources))

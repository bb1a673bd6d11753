"""What forecasts came to, in a process's memory under the digest of all that they were drawn from.

What is written down of a price or a name, or of another vehicle's part, draws nothing anew.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Any, TypeVar

Found = TypeVar("Found")

MOST_KEPT = 192
"""A shop's own finishes, and those of each vehicle for each late part that is here. Of one, some kilobytes."""

_finishes: OrderedDict[bytes, Any] = OrderedDict()
_lock = Lock()


def find(key: bytes) -> Any:
    """Return what is kept under a key; None where nothing is."""
    with _lock:
        if (found := _finishes.get(key)) is not None:
            _finishes.move_to_end(key)
        return found


def keep(key: bytes, found: Any) -> None:
    """Keep what was found under a key, and let go of what nobody asked for the longest."""
    with _lock:
        _finishes[key] = found
        while len(_finishes) > MOST_KEPT:
            _finishes.popitem(last=False)


def kept(key: bytes, work_out: Callable[[], Found]) -> Found:
    """Return what is kept under a key, worked out where nothing is."""
    if (found := find(key)) is None:
        found = work_out()
        keep(key, found)
    return found

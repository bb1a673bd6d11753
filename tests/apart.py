"""Heavy libraries kept out of whoever makes pages: an import of one where a page is made is a fault, and named."""

from __future__ import annotations

import builtins
import pickle
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from threading import local
from typing import Any
from unittest.mock import patch

from specs.apart import Work, set_doer

HEAVY = frozenset({"numpy", "scipy", "shapely", "reportlab", "ezdxf"})
"""What a process that makes pages leaves to another: tens of megabytes each."""


class _Elsewhere(local):
    """Whether what runs now would run in the other process."""

    now = False


class _Lean(pickle.Unpickler):
    """Reads what goes from one process to the other, which holds nothing of a heavy library."""

    def find_class(self, module: str, name: str) -> Any:
        assert module.partition(".")[0] not in HEAVY, f"{module}.{name} goes from one process to the other"
        return super().find_class(module, name)


@contextmanager
def heavy_work_elsewhere() -> Iterator[list[str]]:
    """Do heavy work as if another process did it, what is given and what comes of it pickled; give what it was.

    Whoever imports a heavy library outside such work, or has one in what goes between, fails.
    """
    elsewhere, done = _Elsewhere(), list[str]()
    usual = builtins.__import__

    def imported(name: str, *given: Any, **named: Any) -> Any:
        if not elsewhere.now and name.partition(".")[0] in HEAVY:
            raise AssertionError(f"{name} is read where a page is made")
        return usual(name, *given, **named)

    def sent(what: Any) -> Any:
        return _Lean(BytesIO(pickle.dumps(what))).load()

    def do(work: Work, given: tuple[Any, ...]) -> Any:
        done.append(f"{work.__module__}.{work.__qualname__}")
        given = sent(given)
        set_doer(None)
        elsewhere.now = True
        try:
            return sent(work(*given))
        finally:
            elsewhere.now = False
            set_doer(do)

    set_doer(do)
    try:
        with patch.object(builtins, "__import__", imported):
            yield done
    finally:
        set_doer(None)

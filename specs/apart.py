"""Work that needs much of a machine's memory, done apart from the process that asks for it, where there is a place.

Arrays, shapes and the printing of sheets read tens of megabytes of code. Where many processes make pages, the program
that uses this says who does such work for all of them (`set_doer`); elsewhere it is done where it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")
Work = Callable[..., Any]
Doer = Callable[[Work, tuple[Any, ...]], Any]
_doer: Doer | None = None


def set_doer(doer: Doer | None) -> None:
    """Say who does such work, from the function and what it is given; None: whoever asks."""
    global _doer
    _doer = doer


def done_apart(work: Callable[P, R]) -> Callable[P, R]:
    """Mark a function whose work is done apart where there is a place for it.

    It stands at the top of its module. What it comes to depends on nothing but what it is given and the language that
    is read; both can be pickled, and hold no arrays: whoever takes them would read what they were to be spared.
    """

    @wraps(work)
    def asked(*given: P.args, **named: P.kwargs) -> R:
        if _doer is None or named:
            return work(*given, **named)
        told: R = _doer(work, given)
        return told

    return asked

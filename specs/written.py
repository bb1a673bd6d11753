"""How figures and days are written for whoever reads them: with a point or a comma, a day in one of four forms.

A calculation says what it found in words, and knows nobody. Who reads stands in the context, as their units do
(`specs.engine.units.written_for`): `figures` and `num` ask here. Typed text is read with both marks by everyone
(`specs.engine.parsing`).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from math import floor
from typing import Literal

Mark = Literal[".", ","]
Days = Literal["name", "iso", "dot", "slash"]
Minus = Literal["−", "-"]
_DAY = {"name": "j M Y", "iso": "Y-m-d", "dot": "d.m.Y", "slash": "m/d/Y"}
# With points a day keeps its year: "16.09." would end a sentence with two points, and "16.09" is a number.
_MONTH_DAY = {"name": "j M", "iso": "m-d", "dot": "d.m.Y", "slash": "m/d"}


@dataclass(frozen=True)
class WrittenForm:
    """The decimal mark, and how a day is written: 2 Mar 2026, 2026-03-02, 02.03.2026 or 03/02/2026 (month first).

    `minus` is what stands before a negative figure: the minus sign (U+2212), which is as wide as a plus.
    """

    mark: Mark = "."
    days: Days = "name"
    minus: Minus = "−"

    @property
    def day_pattern(self) -> str:
        """A day as Django's templates spell its parts ("j M Y")."""
        return _DAY[self.days]

    @property
    def month_day_pattern(self) -> str:
        """The same without the year, where that goes without saying."""
        return _MONTH_DAY[self.days]


PLAIN = WrittenForm(minus="-")
"""As files and other programs want figures: with a point, and a hyphen for minus."""

Asked = Callable[[], WrittenForm]
_usual: Asked = lambda: PLAIN  # noqa: E731
_ASKED: ContextVar[Asked | None] = ContextVar("written form", default=None)


def set_usual(asked: Asked) -> None:
    """Say how to write where no reader is known: in mail, in commands, in what is kept."""
    global _usual
    _usual = asked


def form() -> WrittenForm:
    """The form of whoever reads; the usual one where nobody is known."""
    return (_ASKED.get() or _usual)()


def usual_form() -> WrittenForm:
    """The form in which is written what is nobody's own: what is kept, and what leaves the house."""
    return _usual()


@contextmanager
def written_as(asked: WrittenForm | Asked) -> Iterator[None]:
    """Write in this form within the block. A callable is asked once, at the first figure or day and not before."""
    token = _ASKED.set((lambda: asked) if isinstance(asked, WrittenForm) else cache(asked))
    try:
        yield
    finally:
        _ASKED.reset(token)


@contextmanager
def written_as_usual() -> Iterator[None]:
    """Write what is kept, or leaves the house, in the usual form and not in that of whoever is at it."""
    with written_as(usual_form()):
        yield


def figures(number: str) -> str:
    """One number, written with a point, with the mark of whoever reads.

    >>> with written_as(WrittenForm(",")):
    ...     figures("12.50")
    '12,50'
    """
    return number if form().mark == "." else number.replace(".", ",")


def with_minus(number: str, sign: Minus = "−") -> str:
    """One number with a minus sign in place of the hyphen that stands for it in code.

    >>> with_minus("-0.38"), with_minus("0.38")
    ('−0.38', '0.38')
    """
    return f"{sign}{number[1:]}" if number.startswith("-") else number


_IN_PROSE = re.compile(r"(?<![\w.×])(\d+)\.(\d+)(?!\w|\.\d)")
PROPERTY_CLASSES = frozenset(("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"))
"""Names of strengths of bolts, which no reader writes with a comma: ISO 898-1, table 2."""


def in_prose(text: str) -> str:
    """The figures within a sentence of the program's own, with the mark of whoever reads; never those of names.

    >>> with written_as(WrittenForm(",")):
    ...     in_prose("VDI 2230: 1.4 to 2.5. Rp0.2 of 8.8, M12×1.25")
    'VDI 2230: 1,4 to 2,5. Rp0.2 of 8.8, M12×1.25'
    """
    if form().mark == "." or "." not in text:
        return text
    return _IN_PROSE.sub(lambda at: at[0] if at[0] in PROPERTY_CLASSES else f"{at[1]},{at[2]}", text)


def find_in_prose(text: str) -> list[str]:
    """The figures of a text that are written with a point.

    >>> find_in_prose("0.9 of M12x1.25, 8.8, on 02.03.2026, version 0.1.0")
    ['0.9', '8.8']
    """
    return [at[0] for at in _IN_PROSE.finditer(text)]


def num(value: object, spec: str = "g") -> str:
    """A number by a format of Python's (`format`), with the mark and the minus of whoever reads.

    >>> num(2.5), num(2.5, ".2f")
    ('2.5', '2.50')
    """
    return with_minus(figures(format(value, spec)), form().minus)


def wrench_torque(torque: float) -> float:
    """Round a torque down to what a wrench is set to: 0.1 below 20, 0.5 below 50, 1 above (common practice).

    >>> [wrench_torque(torque) for torque in (19.99, 49.9, 72.9, 53.0)]
    [19.9, 49.5, 72.0, 53.0]
    """
    steps = 10 if torque < 20 else 2 if torque < 50 else 1
    # What a calculation left a hair under a step is that step.
    return floor(torque * steps + 1e-3) / steps


def thread_text(thread: str) -> str:
    """Write a thread with a real sign of multiplication before its pitch.

    >>> thread_text("M10x1.25"), thread_text("M8"), thread_text("3/8-16 UNC")
    ('M10×1.25', 'M8', '3/8-16 UNC')
    """
    return re.sub(r"(?<=\d) ?[xX] ?(?=\d)", "×", thread)

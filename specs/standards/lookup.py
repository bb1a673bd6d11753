"""What a calculation asks of the tables: an answer, or a refusal at the input that named what no table has."""

import math
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

from specs.engine.calculation import Refused
from specs.phrase import phrase
from specs.standards import classes, clearance, heads, threads


@contextmanager
def _refused_at(input_name: str, kind: type[ValueError], advice: str = "") -> Iterator[None]:
    try:
        yield
    except kind as unknown:
        raise Refused(input_name, f"{unknown}{advice}.") from None


def thread(designation: str) -> threads.Thread:
    """Return the thread of an input called `thread`; raises Refused."""
    with _refused_at("thread", threads.UnknownThread):
        return threads.find(designation)


def strength(grade: str, of: threads.Thread) -> classes.StrengthClass:
    """Return the strengths of an input called `grade` at a thread's size; raises Refused."""
    with _refused_at("grade", classes.UnknownGrade):
        return classes.find(grade, of)


def bearing_diameter(head: str, of: threads.Thread) -> float:
    """Return the mean friction diameter [m] under a head; raises Refused, asking for `bearing_diameter` instead."""
    if not of.is_metric:
        raise Refused(
            "bearing_diameter",
            phrase(
                "There is no head table for inch threads such as {designation}: give the mean diameter of the ring on "
                "which the head turns, (bearing face outside diameter + hole) / 2.",
                designation=of.designation,
            ),
        )
    with _refused_at("head", heads.NoHead, advice=phrase("; choose another, or give the bearing diameter")):
        return mean_bearing_diameter(head, of)


@cache
def mean_bearing_diameter(kind: str, thread: threads.Thread) -> float:
    """Return the mean friction diameter under a head, DKm [m], in an ISO 273 medium hole.

    DKm = (dw,min + dh) / 2. A countersunk head bears on a 90° cone: the mean diameter of the ring of contact, between
    the smallest head and the edge of the hole, over sin 45°, since the force on the cone is larger than the preload.
    Source: VDI 2230-1, 2003, section 5.4.3 (from memory).

    >>> round(mean_bearing_diameter("hex", threads.find("M10")) * 1000, 3)
    12.815
    """
    mean = (heads.find(kind, thread).bearing + clearance.hole(thread, "medium")) / 2
    return mean / math.sin(math.radians(45)) if kind == "countersunk" else mean

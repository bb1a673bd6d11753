"""What a calculation asks of the tables: an answer, or a refusal at the input that named what no table has."""

from collections.abc import Iterator
from contextlib import contextmanager

from specs.engine.calculation import Refused
from specs.standards import classes, heads, threads


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
            f"There is no head table for inch threads such as {of.designation}: give the mean diameter of the ring on "
            "which the head turns, (bearing face outside diameter + hole) / 2.",
        )
    with _refused_at("head", heads.NoHead, advice="; choose another, or give the bearing diameter"):
        return heads.bearing_diameter(head, of)

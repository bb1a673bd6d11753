"""Since when each mark of what was written stands still, counted in states of the database that a process came to."""

from __future__ import annotations

import marshal
import pickle
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, NamedTuple

from shop.base.lot_marks import and_blocks
from shop.base.table_marks import marks_of

Question = tuple[str, bytes]
"""The words of a query and its parameters, packed."""

_PLAIN_VALUES = 2
"""The version of `marshal` that writes equal values as the same bytes, whoever else holds them."""
_PICKLED = b"\x80"


def packed(params: Any) -> bytes:
    """What a question is given, as a few bytes by which it is found again: a number would take eight times as many."""
    try:
        return marshal.dumps(params, _PLAIN_VALUES)
    except ValueError:  # a day, an amount, a chosen word of a field
        return pickle.dumps(params, protocol=pickle.HIGHEST_PROTOCOL)


def unpacked(given: bytes) -> Any:
    return pickle.loads(given) if given.startswith(_PICKLED) else marshal.loads(given)


@lru_cache(maxsize=1024)
def one_of_equal(marks: frozenset[str]) -> frozenset[str]:
    """The same object for the same marks: hundreds belong to what stands on years of rows, once for each way in which
    figures are written and each step from a question to a page."""
    return marks


MOST_ANSWERS = 20_000
"""Digests of sixteen bytes, and the words of their questions, which works share."""


class MovedMarks:
    """In which state each mark moved last. States are counted from one; a mark of None stands for any."""

    def __init__(self) -> None:
        self.state = 1
        self._moved: dict[str, int] = {}
        self._anything = 1

    def come_to_the_next(self, written: Iterable[str] | None) -> None:
        """Something was committed: the marks that moved by it, None where that may be any."""
        self.state += 1
        if written is None:
            self._anything, self._moved = self.state, {}
        else:
            self._moved |= dict.fromkeys(and_blocks(written), self.state)

    def stand_since(self, state: int, marks: Iterable[str] | None) -> bool:
        """Whether none of these marks moved after a state."""
        if state >= self.state:
            return True
        if marks is None or state < self._anything:
            return False
        moved = self._moved
        return not any(moved.get(mark, 0) > state for mark in marks)


class KeptAnswer(NamedTuple):
    """What a question was answered, the marks that this rests on, and the last state in which it is known to hold."""

    digest: bytes
    marks: frozenset[str] | None
    state: int


class KeptAnswers:
    """What questions were answered.

    Who asks in a state that has passed meanwhile writes his answers down as that state's: they are asked again where
    their marks moved since.
    """

    def __init__(self) -> None:
        self.moved = MovedMarks()
        self._told: dict[Question, KeptAnswer] = {}

    def come_to_the_next(self, written: Iterable[str] | None) -> None:
        self.moved.come_to_the_next(written)
        if len(self._told) > MOST_ANSWERS:
            last = sorted(self._told.items(), key=lambda one: one[1].state)
            self._told = dict(last[MOST_ANSWERS // 2 :])

    def of_now(self) -> Room:
        return Room(self._told, self.moved)


class Room:
    """The answers of one state."""

    def __init__(self, told: dict[Question, KeptAnswer], moved: MovedMarks) -> None:
        self._told, self._moved, self.state = told, moved, moved.state

    def get(self, question: Question) -> KeptAnswer | None:
        told = self._told.get(question)
        if told is None or not self._moved.stand_since(told.state, told.marks):
            return None
        if told.state < self.state:
            told = self._told[question] = told._replace(state=self.state)
        return told

    def put(self, question: Question, params: Any, digest: bytes) -> KeptAnswer:
        told = self._told[question] = KeptAnswer(digest, marks_of(question[0], params), self.state)
        return told

    def still_stands(self, state: int, marks: Iterable[str] | None) -> bool:
        """Whether nothing that these marks stand for was written since a state."""
        return self._moved.stand_since(state, marks)


class LonelyRoom(Room):
    """The answers of a state that has passed, for the one who still asks in it: nothing is known of it but these."""

    def __init__(self) -> None:
        super().__init__({}, MovedMarks())
        self.state = 0

    def still_stands(self, state: int, marks: Iterable[str] | None) -> bool:
        return False

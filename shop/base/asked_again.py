"""Whether the database still says all that a piece of work once asked of it: the questions, and what was answered.

A work that depends on nothing but its arguments and on what it reads comes to the same as long as every question that
it asked is answered with the same rows: the first answer leads to the second question, and so on to the last. To ask
them again costs a fraction of the work, for no record is made of a row and nothing is worked out. No rule says which
change concerns which work, so that none can be forgotten.

What a work took from another such work is one question more: what that comes to today. Where its rows moved and it
still comes to the same, letter by letter, whoever rests on it stands.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import blake2b
from secrets import token_bytes
from sys import intern
from threading import local
from typing import Any
from weakref import WeakKeyDictionary

from django.db import connection

from shop.base.moved_marks import KeptAnswer, Question, Room, one_of_equal, packed, unpacked

_OF_RECORDS = b"django.db.models"
"""What stands in the bytes of whatever holds a record, or a question that is not asked yet."""
NO_PART_OF_AN_ANSWER = "last_login"
SHARED = 4
"""What all readers share takes so many times the bytes that it is kept as, beside these: as measured of pages."""


class Token:
    """What a work came to, told from all else: another as soon as it comes to something else, by a single letter."""


Marks = frozenset[str] | None
"""Those of all that something rests on; None where that may be anything."""


@dataclass(frozen=True, eq=False)
class Rested:
    """That a work took what another came to; `again` is what that comes to today, None where nobody can tell."""

    again: Callable[[], Trace | None]
    token: Token
    marks: Marks

    def stands(self) -> Trace | None:
        """What the other comes to, where that is still the same."""
        try:
            trace = self.again()
        except Exception:  # Whoever took it works again, and meets the same error at its place, or nothing of it.
            return None
        return trace if trace and trace.token is self.token else None


Asked = tuple[Question, bytes] | Rested
"""A question with the digest of its answer, or another work."""


@dataclass(eq=False)
class Trace:
    """What a work asked, digests of what it was answered, and what it came to, as bytes that nobody can have touched.

    A record that a page leads on from (`job.vehicle`) fetches more and keeps it: where there is one in what was found,
    each state of the database gets a copy of its own, and so does each work that rests on another.

    `marks` are those of all that it rests on, by itself and through others; `state` is the last one in which it was
    looked through.
    """

    asked: tuple[Asked, ...]
    kept: bytes
    token: Token
    marks: Marks = None
    state: int = 0
    _shared: Any = None

    def holds(self, answers: Room) -> bool:
        """Whether every question is answered today as it was, in the order in which one led to the other."""
        if answers.still_stands(self.state, self.marks):
            return True
        with heard_by(None):
            rests_on = _stand(self.asked, answers)
        if rests_on is None:
            return False
        if answers.state > self.state:  # First the marks: another thread may look at both.
            self.marks = _together(rests_on)
            self.state = answers.state
        return True

    @property
    def size(self) -> int:
        """How much of memory it takes [bytes], what is shared of it among that."""
        return len(self.kept) * (1 if _OF_RECORDS in self.kept else 1 + SHARED)

    def copy(self) -> Any:
        if self._shared is not None:
            return self._shared
        found = pickle.loads(self.kept)
        tell_origin(found, self)
        if _OF_RECORDS not in self.kept:
            self._shared = found
        return found


class Listener:
    """Writes down what is asked of the database while a work runs, less what works asked that it rests on."""

    def __init__(self) -> None:
        self.asked: dict[Any, Any] = {}
        self._read: dict[Question, AnswerDigest] = {}
        self.is_whole = True
        """Whether all that the work read was read by questions that can be asked again."""

    def __call__(self, execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        told = execute(sql, params, many, context)
        if who_listens() is self:
            self._write_down(sql, params, many, context["cursor"])
        return told

    def _write_down(self, sql: str, params: Any, many: bool, cursor: Any) -> None:
        if many or not sql.startswith("SELECT"):
            self.is_whole = False
        else:
            question = intern(sql), packed(params)
            self.asked[question], self._read[question] = None, AnswerDigest.of_all_read_from(cursor)

    def rest_on(self, key: Hashable, rested: Rested | None) -> None:
        """Take what another work came to, under its key."""
        if rested is None:
            self.is_whole = False
        else:
            self.asked[key] = rested

    def trace(self, kept: bytes, answers: Room) -> Trace:
        for key, read in self._read.items():
            # An answer that was read to its end is not asked for once more.
            if read.is_whole and answers.get(key) is None:
                answers.put(key, unpacked(key[1]), read.told())
        asked: list[Asked] = []
        marks: list[Marks] = []
        with heard_by(None):
            for key, rested in self.asked.items():
                told = rested or _answer(key, answers)
                asked.append(told if isinstance(told, Rested) else (key, told.digest))
                marks.append(told.marks)
        return Trace(tuple(asked), kept, Token(), _together(marks), answers.state)


@contextmanager
def listening() -> Iterator[Listener]:
    listener = Listener()
    with heard_by(listener), connection.execute_wrapper(listener):
        yield listener


@contextmanager
def heard_by(listener: Listener | None) -> Iterator[None]:
    """What is asked within belongs to a listener, or to none."""
    before = _stack()
    _HERE.stack = [*before, listener]
    try:
        yield
    finally:
        _HERE.stack = before


def who_listens() -> Listener | None:
    """The work in this thread that what is asked now belongs to."""
    return _stack()[-1] if _stack() else None


def is_whole_so_far() -> bool:
    """Whether all that works asked while somebody listened can be asked again, thus wrote nothing."""
    return all(one is None or one.is_whole for one in _stack())


def pickled(found: Any) -> bytes | None:
    """A result as bytes; None for one that holds what cannot be written."""
    try:
        return pickle.dumps(found, protocol=pickle.HIGHEST_PROTOCOL)
    except (pickle.PicklingError, TypeError, AttributeError):
        return None


def tell_origin(found: Any, trace: Trace) -> None:
    """Remember what an object came from, where it is told from others by being that object only."""
    if has_identity(found):
        _ORIGINS[found] = trace


def origin(found: Any) -> Trace | None:
    return _ORIGINS.get(found) if has_identity(found) else None


def has_identity(given: Any) -> bool:
    """Whether a value is equal to nothing but itself: no function, which never changes."""
    return type(given).__hash__ is object.__hash__ and not callable(given) and given is not None


class _Here(local):
    stack: list[Listener | None]


_HERE = _Here()
_ORIGINS: WeakKeyDictionary[Any, Trace] = WeakKeyDictionary()


def _stack() -> list[Listener | None]:
    return getattr(_HERE, "stack", [])


def _stand(asked: Iterable[Asked], answers: Room) -> list[Marks] | None:
    """The marks of all that was asked, one by one; None as soon as something is answered otherwise."""
    found: list[Marks] = []
    for one in asked:
        if isinstance(one, Rested):
            if (trace := one.stands()) is None:
                return None
            found.append(trace.marks)
        else:
            told = _answer(one[0], answers)
            if told.digest != one[1]:
                return None
            found.append(told.marks)
    return found


def _together(marks: Iterable[Marks]) -> Marks:
    found: set[str] = set()
    for some in marks:
        if some is None:
            return None
        found |= some
    return one_of_equal(frozenset(found))


def _answer(key: Question, answers: Room) -> KeptAnswer:
    told = answers.get(key)
    if told is None:
        given = unpacked(key[1])
        with connection.cursor() as cursor:
            cursor.execute(key[0], given)
            digest = AnswerDigest(cursor.description)
            digest.take(cursor.fetchall())
        told = answers.put(key, given, digest.told())
    return told


class AnswerDigest:
    """The digest of an answer, row by row."""

    def __init__(self, columns: Sequence[Sequence[Any]] | None) -> None:
        self._rows = blake2b(digest_size=16)
        self._left_out = {at for at, column in enumerate(columns or ()) if column[0] == NO_PART_OF_AN_ANSWER}
        self.is_whole = False

    @classmethod
    def of_all_read_from(cls, cursor: Any) -> AnswerDigest:
        """Take what somebody else reads from a cursor of Django's, until its last row."""
        digest = cls(cursor.description)
        one, many, every = cursor.fetchone, cursor.fetchmany, cursor.fetchall

        def fetchone() -> Any:
            row = one()
            digest.take([] if row is None else [row], ended=row is None)
            return row

        def fetchmany(size: int = 1) -> Any:
            rows = many(size)
            digest.take(rows, ended=len(rows) < size)
            return rows

        def fetchall() -> Any:
            rows = every()
            digest.take(rows, ended=True)
            return rows

        cursor.fetchone, cursor.fetchmany, cursor.fetchall = fetchone, fetchmany, fetchall
        return digest

    def take(self, rows: Iterable[Any], *, ended: bool = True) -> None:
        out = self._left_out
        for row in rows:
            told = repr([value for at, value in enumerate(row) if at not in out] if out else row)
            # A value that is told by its place in memory is never known to be the same.
            self._rows.update(token_bytes(16) if " at 0x" in told else told.encode())
        self.is_whole = self.is_whole or ended

    def told(self) -> bytes:
        return self._rows.digest()

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
from collections.abc import Callable, Hashable, Iterable, Iterator, MutableMapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import blake2b
from secrets import token_bytes
from sys import intern
from threading import local
from typing import Any
from weakref import WeakKeyDictionary

from django.db import connection

Question = tuple[str, str]
"""The words of a query and its parameters, written out."""

NO_PART_OF_AN_ANSWER = "last_login"


class Token:
    """What a work came to, told from all else: another as soon as it comes to something else, by a single letter."""


@dataclass(frozen=True, eq=False)
class Rested:
    """That a work took what another came to; `again` is what that comes to today, None where nobody can tell."""

    again: Callable[[], Token | None]
    token: Token

    def holds(self) -> bool:
        try:
            return self.again() is self.token
        except Exception:  # Whoever took it works again, and meets the same error at its place, or nothing of it.
            return False


@dataclass(frozen=True, eq=False)
class Trace:
    """What a work asked, digests of what it was answered, and what it came to, as bytes that nobody can have touched.

    A record that a page leads on from (`job.vehicle`) fetches more and keeps it: each state of the database gets a copy
    of its own, and so does each work that rests on another.
    """

    asked: tuple[tuple[Question, Any, bytes] | Rested, ...]
    kept: bytes
    token: Token

    def holds(self, answers: MutableMapping[Question, bytes]) -> bool:
        """Whether every question is answered today as it was, in the order in which one led to the other.

        `answers` are those given to others under one mark.
        """
        with heard_by(None):
            return all(_is_answered(one, answers) for one in self.asked)

    def copy(self) -> Any:
        found = pickle.loads(self.kept)
        tell_origin(found, self)
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
            question = intern(sql), repr(params)
            self.asked[question], self._read[question] = params, AnswerDigest.of_all_read_from(cursor)

    def rest_on(self, key: Hashable, rested: Rested | None) -> None:
        """Take what another work came to, under its key."""
        if rested is None:
            self.is_whole = False
        else:
            self.asked[key] = rested

    def trace(self, kept: bytes, answers: MutableMapping[Question, bytes]) -> Trace:
        # An answer that was read to its end is not asked for once more.
        answers.update({key: read.told() for key, read in self._read.items() if read.is_whole and key not in answers})
        with heard_by(None):
            asked = tuple(
                given if isinstance(given, Rested) else (key, given, _answer(key, given, answers))
                for key, given in self.asked.items()
            )
        return Trace(asked, kept, Token())


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


def _is_answered(one: tuple[Question, Any, bytes] | Rested, answers: MutableMapping[Question, bytes]) -> bool:
    return one.holds() if isinstance(one, Rested) else _answer(one[0], one[1], answers) == one[2]


def _answer(key: Question, given: Any, answers: MutableMapping[Question, bytes]) -> bytes:
    if key not in answers:
        with connection.cursor() as cursor:
            cursor.execute(key[0], given)
            digest = AnswerDigest(cursor.description)
            digest.take(cursor.fetchall())
        answers[key] = digest.told()
    return answers[key]


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

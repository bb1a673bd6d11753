"""What was worked out of data that nobody has changed since: kept in a worker's memory, and not a moment longer.

While the mark of the database is the same (`shop.base.state_mark`), nobody has. Under another the questions that a work
asked are asked again (`shop.base.asked_again`), but for those that read no table that was written meanwhile
(`shop.base.table_marks`): where all are answered as they were, what it came to is still today's.

Inside a transaction nothing is kept and nothing is taken: whoever writes decides by what he reads himself.

While a page is made that writes nothing, the mark is asked for once (`at_one_look`): it shows what was when it began.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import contextmanager
from functools import wraps
from threading import Lock, RLock, local
from typing import Any, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

from django.utils.translation import get_language, override

from shop.base.asked_again import (
    Listener,
    Rested,
    Token,
    Trace,
    has_identity,
    heard_by,
    is_whole_so_far,
    listening,
    origin,
    pickled,
    tell_origin,
    who_listens,
)
from shop.base.moved_marks import KeptAnswers, LonelyRoom, Room
from shop.base.state_mark import Left, is_outside_transactions, mark, written_since
from specs.written import form, written_as

P = ParamSpec("P")
Found = TypeVar("Found")


def while_unchanged(work: Callable[P, Found]) -> Callable[P, Found]:
    """Keep what a function of plain values finds in the database until anything is written to it.

    Everyone gets the same object: nobody may change it. What else it depends on, the day above all, is an argument: a
    plain value, or what another such function found. In what form figures and days are written is told apart here.
    """

    @wraps(work)
    def kept(*args: P.args, **named: P.kwargs) -> Found:
        now = _now()
        if now is None:
            return work(*args, **named)
        call, listener = _Call(work, args, named), who_listens()
        try:
            found: Found = _filled(now, call).handed_out(call, listener)
        except BaseException:
            if listener:  # What was asked up to the error is written down nowhere.
                listener.rest_on(call.key, None)
            raise
        return found

    return kept


def trace_of(listener: Listener, then: Hashable) -> Trace | None:
    """What was asked while somebody listened, under that mark; None where it cannot be asked again."""
    trace = listener.trace(b"", _KEPT.answers(then)) if listener.is_whole else None
    return trace if _told_now() == then else None


def still_holds(trace: Trace, now: Hashable) -> bool:
    """Whether all that was asked is answered under this mark as it was."""
    return trace.holds(_KEPT.answers(now))


@contextmanager
def at_one_look(began_in: Hashable | None) -> Iterator[None]:
    """Within, what is kept is taken as of this mark, as long as nobody in this process knows of a later one and
    nothing was asked here that may have written."""
    before, _LOOK.began_in = _LOOK.began_in, began_in
    try:
        yield
    finally:
        _LOOK.began_in = before


class _Look(local):
    began_in: Hashable | None = None


_LOOK = _Look()


class _Call:
    """A work with what it is given: plain values, and of what another work found its trace; and for whom it writes."""

    def __init__(self, work: Callable[..., Any], args: tuple[Any, ...], named: Mapping[str, Any]) -> None:
        self.work, self.args = work, tuple(origin(one) or one for one in args)
        self.named = {name: origin(named[name]) or named[name] for name in sorted(named)}
        given = (one.token if isinstance(one, Trace) else one for one in (*self.args, *self.named.values()))
        self.form, self.language = form(), get_language()
        self.key: tuple[Any, ...] = (work, self.form, self.language, len(args), *self.named, *given)

    def __call__(self) -> Any:
        with written_as(self.form), override(self.language):
            return self.work(*map(_own, self.args), **{name: _own(one) for name, one in self.named.items()})

    def today(self) -> Trace | None:
        """What it comes to today."""
        now = _now()
        return None if now is None else _filled(now, self).trace

    @property
    def can_be_asked_for_again(self) -> bool:
        """Whether nothing that it is given is an object which nothing tells apart later."""
        return not any(has_identity(one) and not isinstance(one, Token) for one in self.key)


def _filled(now: Hashable, call: _Call) -> _Place:
    place = _KEPT.place(now, call.key)
    with place.lock:
        if not place.filled:
            _KEPT.fill(place, now, call)
    return place


def _now() -> Hashable | None:
    """The mark that counts here: the one under which a page began, else that of this moment."""
    seen = _LOOK.began_in
    if seen is not None and seen == _KEPT.mark and is_whole_so_far() and is_outside_transactions():
        return seen
    return _told_now()


def _told_now() -> Hashable | None:
    """The mark of the database, asked for nobody's account."""
    with heard_by(None):
        return mark()


_NOTHING = object()


class _Place:
    """Room for one thing found. Whoever comes while it is being worked out waits for it."""

    def __init__(self) -> None:
        # Of one thread twice, where a work asks itself for less of the same.
        self.lock = RLock()
        self.filled = False
        self.found: Any = _NOTHING
        self.trace: Trace | None = None
        self._untouched: Any = _NOTHING

    def fill(self, found: Any, trace: Trace | None) -> None:
        """`found` is what a work came to just now, _NOTHING where it is as it was."""
        self.trace, self.filled = trace, True
        if trace is None:
            self.found = found
        elif found is not _NOTHING:
            tell_origin(found, trace)
            self._untouched = found

    def handed_out(self, call: _Call, listener: Listener | None) -> Any:
        """What was found; to a work that rests on it, a copy that no page led on from."""
        if listener is not None:
            listener.rest_on(call.key, Rested(call.today, self.trace.token, self.trace.marks) if self.trace else None)
            return self._copy(self.trace) if self.trace else self.found
        with self.lock:
            if self.found is _NOTHING and self.trace:
                self.found = self._copy(self.trace)
            return self.found

    def _copy(self, trace: Trace) -> Any:
        """One that no page has led on from: the first is what the work itself came to."""
        with self.lock:
            found, self._untouched = self._untouched, _NOTHING
        return trace.copy() if found is _NOTHING else found


class _Kept:
    """The places under the last mark, and what may be filled into them again under the next."""

    MOST = 2_000
    MOST_BYTES = 24 * 1024 * 1024

    def __init__(self) -> None:
        self._lock = Lock()
        self.mark: Hashable = None
        self._left: Left = None
        self._places: dict[Hashable, _Place] = {}
        self._answers = KeptAnswers()
        self._traces: OrderedDict[tuple[Any, ...], Trace] = OrderedDict()
        self._worked_out_of: WeakKeyDictionary[Token, set[tuple[Any, ...]]] = WeakKeyDictionary()
        self._bytes = 0

    def place(self, now: Hashable, key: Hashable) -> _Place:
        with self._lock:
            return self._places.setdefault(key, _Place()) if self._comes_to(now) else _Place()

    def answers(self, now: Hashable) -> Room:
        with self._lock:
            return self._answers.of_now() if self._comes_to(now) else LonelyRoom()

    def _comes_to(self, now: Hashable) -> bool:
        """Whether this is the last mark. Of what was answered under the one before it, what reads no table that was
        written since counts on.

        The marks of tables are those of this very state: whoever asks a later one puts his answers where the next
        mark sorts them out.
        """
        if now != self.mark:
            left, written = written_since(self.mark, self._left, now)
            if left is None and _told_now() != now:
                return False
            self._answers.come_to_the_next(written)
            self.mark, self._places, self._left = now, {}, left
        elif len(self._places) >= self.MOST:
            self._places = {}
        return True

    def fill(self, place: _Place, now: Hashable, call: _Call) -> None:
        """Fill a place with what was found before, where every answer is the same; else by working it out."""
        answers, trace = self._known(now, call.key)
        found = _NOTHING
        if not (trace and trace.holds(answers)):
            found, trace = _worked_out(call, now, answers)
            trace = self._remember(call, trace)
        place.fill(found, trace)

    def _known(self, now: Hashable, key: tuple[Any, ...]) -> tuple[Room, Trace | None]:
        with self._lock:
            if key in self._traces:
                self._traces.move_to_end(key)
            answers = self._answers.of_now() if self._comes_to(now) else LonelyRoom()
            return answers, self._traces.get(key)

    def _remember(self, call: _Call, trace: Trace | None) -> Trace | None:
        """Keep what was found; where it is the same as before, as the same."""
        with self._lock:
            before = self._traces.get(call.key)
            if before and trace and before.kept == trace.kept:
                trace.token = before.token
                self._let_go(call.key)
            else:
                self._forget(call.key)
            if trace and call.can_be_asked_for_again:
                self._traces[call.key] = trace
                for token in _tokens(call.key):
                    self._worked_out_of.setdefault(token, set()).add(call.key)
                self._bytes += trace.size
            while self._bytes > self.MOST_BYTES:
                self._let_go(next(iter(self._traces)))
        return trace

    def _let_go(self, key: tuple[Any, ...]) -> Trace | None:
        gone = self._traces.pop(key, None)
        if gone:
            self._bytes -= gone.size
            for token in _tokens(key):
                self._worked_out_of.get(token, set()).discard(key)
        return gone

    def _forget(self, key: tuple[Any, ...]) -> None:
        """Forget what was found, and all that was worked out of it."""
        gone = self._let_go(key)
        for other in self._worked_out_of.pop(gone.token, ()) if gone else ():
            self._forget(other)


def _tokens(key: tuple[Any, ...]) -> list[Token]:
    """What a work was given that others found."""
    return [one for one in key if isinstance(one, Token)]


def _own(given: Any) -> Any:
    """What a work is given: of what another found, a copy that no page led on from."""
    return given.copy() if isinstance(given, Trace) else given


def _worked_out(work: Callable[[], Any], now: Hashable, answers: Room) -> tuple[Any, Trace | None]:
    """What a work comes to, and its trace where it has one and nobody wrote meanwhile."""
    with listening() as listener:
        found = work()
        kept = pickled(found) if listener.is_whole else None
    if kept is None or not listener.is_whole:
        return found, None
    trace = listener.trace(kept, answers)
    return found, trace if _told_now() == now else None


_KEPT = _Kept()

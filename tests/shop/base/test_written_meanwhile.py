"""Whoever has written reads what he wrote, also what is kept, while others write, take back and clear marks away."""

from __future__ import annotations

import random
import secrets
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from io import StringIO
from threading import Event

import pytest
from django.core.management import call_command
from django.db import connection, transaction

from shop.base import unchanged
from shop.base.asked_again import listening
from shop.base.state_mark import mark
from shop.base.unchanged import at_one_look, while_unchanged
from specs.models import Component
from tests.factories.measuring import make_component
from tests.shop.base.test_two_connections import at_once

pytestmark = pytest.mark.django_db(transaction=True)
WRITERS, ROUNDS = 3, 25


@while_unchanged
def notes_of(key: int) -> str:
    return Component.objects.get(pk=key).notes


@while_unchanged
def all_notes() -> dict[int, str]:
    """Rests on the notes of each, and on what is there at all."""
    return {key: notes_of(key) for key in Component.objects.order_by("pk").values_list("pk", flat=True)}


def update(key: int, words: str) -> None:
    Component.objects.filter(pk=key).update(notes=words)


def by_hand(key: int, words: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute("UPDATE specs_component SET notes = %s WHERE id = %s", [words, key])


def after_a_step_back(key: int, words: str) -> None:
    with transaction.atomic():
        with transaction.atomic():
            update(key, "taken back")
            transaction.set_rollback(True)
        update(key, words)


def before_a_step_back(key: int, words: str) -> None:
    with transaction.atomic():
        update(key, words)
        with transaction.atomic():
            update(key, "taken back")
            transaction.set_rollback(True)


def anew(key: int, words: str) -> None:
    with transaction.atomic():
        Component.objects.filter(pk=key)._raw_delete("default")
        Component.objects.bulk_create([Component(pk=key, name=f"box {key}", kind="gearbox", notes=words)])


WAYS = (update, by_hand, after_a_step_back, before_a_step_back, anew)


def nothing_at_all(key: int) -> None:
    with transaction.atomic():
        update(key, "taken back")
        transaction.set_rollback(True)


def outside_a_page() -> AbstractContextManager[None]:
    return nullcontext()


@contextmanager
def in_a_page() -> Iterator[None]:
    with at_one_look(mark()), listening():
        yield


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch):
    monkeypatch.setattr(unchanged, "_KEPT", unchanged._Kept())


def test_whoever_wrote_reads_what_he_wrote(monkeypatch):
    keys, seed, over = [make_component(name=f"box {at}").pk for at in range(WRITERS)], secrets.randbelow(10**6), Event()

    def writer(at: int) -> Callable[[], int]:
        drawn, key = random.Random(seed + at), keys[at]

        def write() -> int:
            told = 0
            for turn in range(ROUNDS):
                words = f"{at} {turn}"
                with drawn.choice((in_a_page, outside_a_page))():
                    drawn.choice(WAYS)(key, words)
                    assert all_notes()[key] == words, f"seed {seed}"
                    nothing_at_all(key)
                    assert notes_of(key) == words, f"seed {seed}"
                with drawn.choice((in_a_page, outside_a_page))():
                    assert all_notes()[key] == words, f"seed {seed}"
                told += 1
            return told

        return write

    def clear() -> int:
        cleared = 0
        while not over.wait(0.02):
            call_command("prune", stdout=StringIO())
            cleared += 1
        return cleared

    def write_all() -> list[int]:
        try:
            return at_once(*[writer(at) for at in range(WRITERS)])
        finally:
            over.set()

    told, cleared = at_once(write_all, clear)
    assert told == [ROUNDS] * WRITERS
    assert all_notes() == dict(Component.objects.order_by("pk").values_list("pk", "notes"))

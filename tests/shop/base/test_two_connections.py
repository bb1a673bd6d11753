"""Two people at the same moment, on two real connections: one write wins, the other is told."""

from collections.abc import Callable
from threading import Barrier, Thread
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client

from specs.models import Component, Stale
from tests.factories.people import make_person
from tests.shop.base.test_once import MARK

pytestmark = [pytest.mark.urls("tests.shop.base.pages_urls"), pytest.mark.django_db(transaction=True)]


@pytest.fixture
def worker(transactional_db: None) -> User:
    return make_person(username="worker", roles=["fitter"])


def at_once(*works: Callable[[], Any]) -> list[Any]:
    """Run every work in a thread and connection of its own, all let go together; their answers in order."""
    answers: list[Any] = [None] * len(works)
    gate = Barrier(len(works))

    def run(place: int, work: Callable[[], Any]) -> None:
        gate.wait()
        try:
            answers[place] = work()
        except Stale as stale:
            answers[place] = stale
        finally:
            connection.close()

    threads = [Thread(target=run, args=pair) for pair in enumerate(works)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    return answers


def client_of(person: User) -> Client:
    client = Client()
    client.force_login(person)
    return client


def test_one_save_wins_and_the_other_raises(worker: User) -> None:
    box = Component.objects.create(kind="gearbox", maker="Teskel", name="QZ-5")
    readings = [Component.objects.get(pk=box.pk) for _ in range(4)]

    def save(reading: Component, words: str) -> Callable[[], str]:
        def work() -> str:
            reading.notes = words
            reading.save()
            return words

        return work

    answers = at_once(*(save(reading, f"words {number}") for number, reading in enumerate(readings)))
    won = [answer for answer in answers if isinstance(answer, str)]
    assert len(won) == 1
    assert sum(isinstance(answer, Stale) for answer in answers) == 3
    kept = Component.objects.get(pk=box.pk)
    assert (kept.notes, kept.version) == (won[0], 2)
    assert kept.history.count() == 2


def test_of_two_forms_sent_at_once_one_is_shown_both_versions(worker: User) -> None:
    box = Component.objects.create(kind="gearbox", maker="Teskel", name="QZ-5")
    clients = [client_of(worker), client_of(worker)]

    def send(client: Client, words: str) -> Callable[[], Any]:
        form = {"kind": "gearbox", "maker": "Teskel", "name": "QZ-5", "notes": words, "version": 1}
        return lambda: client.post(f"/test/{box.pk}/", form)

    answers = at_once(send(clients[0], "first words"), send(clients[1], "second words"))
    assert sorted(answer.status_code for answer in answers) == [200, 302]
    told = next(answer for answer in answers if answer.status_code == 200).content.decode()
    assert "first words" in told
    assert "second words" in told
    assert Component.objects.get(pk=box.pk).version == 2


def test_a_double_press_at_the_same_moment_writes_once(worker: User) -> None:
    clients = [client_of(worker) for _ in range(3)]
    form = {"kind": "gearbox", "maker": "Teskel", "name": "QZ-5", "notes": "", "once": MARK}
    answers = at_once(*((lambda client=client: client.post("/test/new/", form)) for client in clients))
    made = Component.objects.get()
    assert [answer["Location"] for answer in answers] == [f"/test/{made.pk}/"] * 3

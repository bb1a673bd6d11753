"""Connections that come together are shared out among the processes that listen."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import ExitStack
from selectors import DefaultSelector

import pytest
from gunicorn.glogging import Logger
from gunicorn.workers.gthread import ThreadWorker

from shop.serving import worker
from shop.serving.pages import Pages
from shop.serving.worker import PatientWorker

CONNECTIONS = 6


@pytest.fixture
def listener() -> Iterator[socket.socket]:
    with socket.create_server(("127.0.0.1", 0)) as made:
        yield made


@pytest.fixture
def come_together(listener: socket.socket) -> Iterator[None]:
    with ExitStack() as open_ones:
        for _ in range(CONNECTIONS):
            open_ones.enter_context(socket.create_connection(listener.getsockname()))
        yield


@pytest.fixture
def workers(listener: socket.socket) -> Iterator[list[PatientWorker]]:
    """Two of as many processes, each looking for what has come."""
    cfg = Pages("127.0.0.1:0", 2, 1).cfg
    both = [PatientWorker(at, 0, [listener], None, 60, cfg, Logger(cfg)) for at in range(2)]
    for one in both:
        one.poller = DefaultSelector()
        one.set_accept_enabled(True)
    yield both
    for one in both:
        for conn in one.pending_conns:
            conn.close()
        one.poller.close()
        one.tmp.close()


def look(one: PatientWorker) -> int:
    """How many connections a process has after it looked a few times."""
    for _ in range(CONNECTIONS):
        one.set_accept_enabled(True)
        one.wait_for_and_dispatch_events(timeout=0)
    return int(one.nr_conns)


@pytest.mark.usefixtures("come_together")
def test_who_took_a_connection_leaves_the_next_one_to_the_others(
    workers: list[PatientWorker], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker, "LEAVES_THE_NEXT_FOR", 1000.0)
    assert [look(one) for one in workers] == [1, 1]
    assert [look(one) for one in workers] == [1, 1]
    workers[0].leaves_until = 0.0
    assert [look(one) for one in workers] == [2, 1], "what nobody else took is taken in the end"


def test_nobody_waits_where_the_others_were_given_their_time_meanwhile(
    workers: list[PatientWorker], monkeypatch: pytest.MonkeyPatch
) -> None:
    one, waited = workers[0], list[float]()
    monkeypatch.setattr(ThreadWorker, "wait_for_and_dispatch_events", lambda _, timeout: waited.append(timeout))
    one.leaves_until = 0.1  # long past, and it does not listen yet
    one.wait_for_and_dispatch_events(timeout=1.0)
    one.wait_for_and_dispatch_events(timeout=1.0)
    assert waited == [0.0, 1.0], "one turn at once, to listen again; then as long as gunicorn waits"


@pytest.mark.usefixtures("come_together")
def test_a_process_that_is_alone_takes_all_at_once(
    workers: list[PatientWorker], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker, "LEAVES_THE_NEXT_FOR", 1000.0)
    workers[0].cfg.set("workers", 1)
    assert look(workers[0]) == CONNECTIONS

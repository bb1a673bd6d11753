"""Timed work that runs out of memory, or is ended from outside, is told to monitor and owner, and begun again."""

import os
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management.base import CommandError
from django.test import Client
from django.utils import timezone

from shop.serving import timed
from shop.serving.health import look
from shop.serving.jobs import JOBS, JobRun
from shop.serving.runs import keep_runs, read_runs
from tests.pages import words_of

BACKUP = next(job for job in JOBS if job.name == "backup")


@pytest.fixture
def folder(db: None, settings: Any) -> Path:
    """A box on which all timed work was done a moment ago."""
    folder = Path(settings.DATA_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    now = timezone.now()
    keep_runs({job.name: JobRun(now, True, good=now) for job in JOBS}, folder)
    return folder


@pytest.fixture
def work(folder: Path) -> Iterator[timed.TimedWork]:
    reading, writing = os.pipe()
    yield timed.TimedWork(writing)
    os.close(reading)
    os.close(writing)


def failing(monkeypatch: pytest.MonkeyPatch, fault: Exception) -> None:
    def fail(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(timed, "call_command", fail)
    monkeypatch.setattr(timed.connections, "close_all", lambda: None)  # the test's own stays


def test_work_without_memory_is_told_and_leaves_its_process_to_be_begun_afresh(
    work: timed.TimedWork, folder: Path, owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "Timed work" not in words_of(owner.get("/"))
    failing(monkeypatch, MemoryError())
    work.do(BACKUP)
    assert work.stopped.is_set()
    assert look(timezone.now())["timed"].facts["failed"] == ["backup"]
    page = words_of(owner.get("/"))
    assert "Late: Nightly copy" in page
    assert "this machine had too little memory for it" in page


def test_work_that_is_refused_or_faulty_leaves_its_process_alive(
    work: timed.TimedWork, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for fault, words in ((CommandError("the disk is full"), "the disk is full"), (KeyError("x"), "(KeyError)")):
        failing(monkeypatch, fault)
        work.do(BACKUP)
        assert not work.stopped.is_set()
        assert words in read_runs(folder)["backup"].words


def test_work_whose_process_was_killed_counts_as_failed_from_the_next_start_on(
    folder: Path, owner: Client, fitter: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_runs({**read_runs(folder), "backup": read_runs(folder)["backup"].begin(timezone.now())}, folder)
    assert look(timezone.now())["timed"].well, "it is at work"
    assert "Timed work" not in words_of(owner.get("/"))
    again = timed.TimedWork(-1)
    again.stopped.set()
    monkeypatch.setattr(timed.signal, "signal", lambda *_: None)
    again.run()
    assert look(timezone.now())["timed"].facts["failed"] == ["backup"]
    assert "its process was ended before it was done" in words_of(owner.get("/"))
    assert "Timed work" not in words_of(fitter.get("/"))


def test_work_left_undone_is_told_to_the_owner(folder: Path, owner: Client) -> None:
    before = timezone.now() - timedelta(days=2)
    keep_runs({**read_runs(folder), "prune": JobRun(before, True, good=before)}, folder)
    page = words_of(owner.get("/"))
    assert "Late: Nightly tidying" in page
    assert "Nightly copy" not in page

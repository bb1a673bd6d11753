"""Heavy work is done by another process where there is one that answers, and by whoever asks where there is none."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.db import transaction
from django.utils.translation import get_language, override

from shop.serving.apart import PLACE, do_for_others, give_over
from specs.apart import done_apart, set_doer
from specs.engine import bands
from specs.engine.bands import with_bands
from specs.engine.calculation import calculations
from specs.engine.entry import read

DOES = """
import sys, time
from pathlib import Path
import django
django.setup()
from shop.serving.apart import do_for_others
do_for_others(Path(sys.argv[1]))
time.sleep(60)
"""
ASKED_BY = "SHOP_TEST_ASKED_BY"


@done_apart
def who(*given: object) -> tuple[object, ...]:
    """Which process does it, what it was given, and for a reader of which language."""
    return os.getpid(), get_language(), *given


@done_apart
def fails_elsewhere() -> int:
    if os.environ[ASKED_BY] != str(os.getpid()):
        raise ValueError("not here")
    return os.getpid()


@done_apart
def ends_elsewhere() -> int:
    if os.environ[ASKED_BY] != str(os.getpid()):
        os._exit(1)
    return os.getpid()


@pytest.fixture
def asking(tmp_path: Path) -> Iterator[None]:
    give_over(tmp_path, starts_within=0)
    yield
    set_doer(None)


@pytest.fixture
def other(tmp_path: Path, asking: None, monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """Another process that does heavy work: its number."""
    monkeypatch.setenv(ASKED_BY, str(os.getpid()))
    with _other(tmp_path) as number:
        until = time.monotonic() + 60
        while not _answers(tmp_path / PLACE):
            assert time.monotonic() < until
            time.sleep(0.05)
        yield number


@contextmanager
def _other(tmp_path: Path) -> Iterator[int]:
    here = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    here |= {"DJANGO_SETTINGS_MODULE": "shop.settings", "SHOP_LOCAL": "1", "SHOP_DATA": str(tmp_path)}
    process = subprocess.Popen([sys.executable, "-c", DOES, str(tmp_path)], env=here)
    try:
        yield process.pid
    finally:
        process.kill()
        process.wait()


def _answers(place: Path) -> bool:
    with socket.socket(socket.AF_UNIX) as line:
        return line.connect_ex(str(place)) == 0


def test_another_process_does_it_for_a_reader_of_the_same_language(other):
    with override("de"):
        assert who(1, {"plate": (2.5, None)}) == (other, "de", 1, {"plate": (2.5, None)})


def test_nobody_else_on_the_machine_may_ask(other, tmp_path):
    assert (tmp_path / PLACE).stat().st_mode & 0o777 == 0o600


def test_bands_are_the_same_wherever_they_are_worked_out(other):
    calculation = calculations()["clutch-capacity"]
    given, held = read(calculation, calculation.example), {"clamp_force": 123.4}
    elsewhere = with_bands(calculation, given, held)
    set_doer(None)
    bands._carried.cache_clear()
    bands._tried.cache_clear()
    here = with_bands(calculation, given, held)
    assert here.numbers
    assert here is not elsewhere
    assert here == elsewhere


def test_what_fails_there_is_done_here_where_the_fault_is_told(other):
    assert fails_elsewhere() == os.getpid()
    assert who()[0] == other


def test_what_ends_the_other_process_is_done_here(other):
    assert ends_elsewhere() == os.getpid()


@pytest.mark.django_db(transaction=True)
def test_what_is_not_written_yet_is_not_asked_of_another_process(other):
    with transaction.atomic():
        assert who()[0] == os.getpid()
    assert who()[0] == other


def test_who_asks_while_the_other_process_starts_waits_for_it(tmp_path):
    give_over(tmp_path, starts_within=60)
    try:
        with _other(tmp_path) as number:
            assert who()[0] == number
    finally:
        set_doer(None)


def test_without_another_process_whoever_asks_does_it(asking):
    assert who()[0] == os.getpid()


def test_a_socket_that_nobody_serves_any_more_holds_nobody_up(asking, tmp_path):
    with socket.socket(socket.AF_UNIX) as left:
        left.bind(str(tmp_path / PLACE))
    assert who()[0] == os.getpid()


def test_a_folder_too_deep_for_a_socket_leaves_the_work_with_the_pages(tmp_path):
    deep = tmp_path / ("d" * 120)
    deep.mkdir()
    do_for_others(deep)
    assert not list(deep.iterdir())

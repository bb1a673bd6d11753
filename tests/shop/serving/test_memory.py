"""A worker that made one large forecast does not hold what it took for ever."""

import gc
import os
import subprocess
import sys
import weakref
from collections.abc import Iterator
from contextlib import AbstractContextManager, nullcontext
from typing import Any

import pytest

from shop.serving import memory
from shop.serving.memory import rings_let_go_of

HELD = """
from shop.serving.memory import give_back_what_is_free

def held():
    with open("/proc/self/statm") as told:
        return int(told.read().split()[1]) * 4096 / 2**20

{asked}
small, large = [], []
for _ in range(40):
    large.append(bytearray(2**20))
    small.append(bytes(2000))
for piece in large:
    piece[::4096] = b"x" * len(piece[::4096])
most = held()
del piece, large
print(most - held())
"""
# What the C library keeps by itself depends on what lies between the pieces; told to keep all, it does.
KEEPING = {"MALLOC_MMAP_THRESHOLD_": str(2**25), "MALLOC_TRIM_THRESHOLD_": str(2**30)}


def given_back(asked: str) -> float:
    """Megabytes, of forty that were taken and freed by a process whose C library was told to keep what is free."""
    told = subprocess.run(
        [sys.executable, "-c", HELD.format(asked=asked)],
        env=os.environ | KEEPING,
        capture_output=True,
        text=True,
        check=True,
    )
    return float(told.stdout)


@pytest.mark.skipif(sys.platform != "linux", reason="as the GNU C library has it")
def test_what_a_large_piece_of_work_took_goes_back_to_the_system():
    assert given_back("") < 20
    assert given_back("give_back_what_is_free()") > 35


class Ring:
    """An object that holds itself."""

    def __init__(self) -> None:
        self.own = self


def stands_after(around: AbstractContextManager[None], rings: int = 30_000) -> bool:
    """Whether something of a page that made so many rings is still held when the page was sent."""

    def page() -> weakref.ref[Any]:
        made = [Ring() for _ in range(rings)]
        return weakref.ref(made[0])

    gc.collect()
    with around:
        first = page()
    return first() is not None


@pytest.fixture
def rings_of_few_objects() -> Iterator[None]:
    """Python looks for rings after fewer objects than it does in a served process, so that a test makes few."""
    usual = gc.get_threshold()
    gc.set_threshold(700, 10, 50)
    yield
    gc.set_threshold(*usual)


@pytest.mark.usefixtures("rings_of_few_objects")
def test_what_a_page_that_made_very_much_leaves_behind_in_rings_is_let_go_of():
    assert stands_after(nullcontext())
    assert not stands_after(rings_let_go_of())


@pytest.mark.parametrize(("seconds", "stands"), [(0.0, True), (1.0, False)])
def test_what_a_page_that_took_long_leaves_behind_in_rings_is_let_go_of(monkeypatch, seconds, stands):
    clock = iter((5.0, 5.0 + seconds))
    monkeypatch.setattr(memory.time, "thread_time", lambda: next(clock))
    assert stands_after(rings_let_go_of(), rings=100) is stands

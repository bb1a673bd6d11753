"""Nothing that people were told is kept is lost when the power goes; fifty cuts here, more by command."""

import os
import random
import shutil
from copy import deepcopy
from pathlib import Path

import pytest

from tests.power_cut.__main__ import Found, NoTracer, cut, record
from tests.power_cut.disk import Disk, Inode
from tests.power_cut.trace import Event

CUTS = 50


def test_a_sync_keeps_and_a_cut_takes_what_was_not_synced() -> None:
    inode = Inode(bytearray(b"old "))
    inode.pending.append(("write", 4, b"synced "))
    inode.sync()
    inode.pending.append(("write", 11, b"x" * 2000))
    left = {inode.after_a_cut(random.Random(seed)) for seed in range(60)}
    assert all(one.startswith(b"old synced ") for one in left)
    assert b"old synced " in left
    assert b"old synced " + b"x" * 2000 in left
    assert len(left) > 4


def test_a_new_name_stays_only_after_a_sync_of_its_folder(tmp_path: Path) -> None:
    def names(*more: Event) -> set[bool]:
        disk = Disk(tmp_path)
        for event in (Event("make", "data/new"), Event("write", "data/new", 0, b"x"), Event("sync", "data/new"), *more):
            disk.take(event)
        return {"data/new" in disk.after_a_cut(random.Random(seed)) for seed in range(20)}

    assert names() == {True, False}
    assert names(Event("sync", "data")) == {True}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> tuple[Disk, list[Event]]:
    folder = tmp_path_factory.mktemp("cut").resolve()
    try:
        return record(folder, writes=24)
    except NoTracer as lack:
        # CI brings strace; whether a box lets anybody trace is not ours to say.
        lacking = os.environ.get("CI") == "true" and not shutil.which("strace")
        pytest.fail(str(lack)) if lacking else pytest.skip(str(lack))


def test_nothing_is_lost_that_was_answered(recorded: tuple[Disk, list[Event]]) -> None:
    found = after(*recorded, seed=random.SystemRandom().randrange(2**32))
    assert found.faults == []
    assert found.cuts == CUTS
    assert found.answers > CUTS
    assert found.files > 0


@pytest.mark.parametrize("name", ["data/shop.sqlite3-wal", "data/files/"])
def test_without_the_syncs_it_is_seen_to_be_lost(recorded: tuple[Disk, list[Event]], name: str) -> None:
    """The command can fail: a site that does not sync its log, or its papers, loses."""
    weak = [one for one in recorded[1] if not (one.verb == "sync" and one.name.startswith(name))]
    assert after(recorded[0], weak, seed=1).faults


def after(before: Disk, happened: list[Event], seed: int) -> Found:
    return cut(deepcopy(before), happened, CUTS, seed)

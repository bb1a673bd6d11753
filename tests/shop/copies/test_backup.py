"""A copy is one file, made while people work, night after night; a disk that fills up leaves nothing half."""

import errno
import io
import sqlite3
import subprocess
import threading
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from shop.copies import archive, make, sqlite
from shop.copies.archive import read_manifest
from shop.copies.bring_back import bring_back
from shop.copies.make import make_copy
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site
from tests.shop.copies.conftest import DOCUMENT, NOW, left_in, shop_at


def test_every_night_makes_one_more_and_the_newest_are_kept(site: Site, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    nights = [make_copy(site, copies, now=NOW + timedelta(days=night), keep=3) for night in range(5)]
    assert sorted(left_in(copies)) == [night.path.name for night in nights[2:]]
    assert [path.name for path in nights[4].gone] == [nights[1].path.name]


def test_two_copies_of_one_second_have_two_names(site: Site, tmp_path: Path) -> None:
    names = {make_copy(site, tmp_path / "copies", now=NOW).path.name for _ in range(3)}
    assert len(names) == 3


def test_what_is_no_copy_is_never_deleted(site: Site, tmp_path: Path) -> None:
    (tmp_path / "letters.zip").write_text("mine")
    make_copy(site, tmp_path, now=NOW, keep=1)
    make_copy(site, tmp_path, now=NOW + timedelta(days=1), keep=1)
    assert (tmp_path / "letters.zip").read_text() == "mine"


def test_the_manifest_tells_every_file_and_every_table(site: Site, copy: Path) -> None:
    manifest = read_manifest(copy)
    assert manifest.files.keys() == {"shop.sqlite3", f"files/{DOCUMENT}"}
    assert manifest.rows == sqlite.rows(site.sqlite_file)
    assert ("jobs", "0001_start") in manifest.migrations
    assert manifest.files[f"files/{DOCUMENT}"].sha256 == archive.digest_of_file(site.files / DOCUMENT)


def test_nobody_else_may_read_it(copy: Path) -> None:
    assert (copy.stat().st_mode & 0o777, copy.parent.stat().st_mode & 0o777) == (0o600, 0o700)


def test_it_is_one_moment_while_others_write(site: Site, tmp_path: Path, elsewhere: Site) -> None:
    """Each write adds one row to two tables at once: a copy that shows one of the two is torn."""
    stop = threading.Event()

    def write() -> None:
        with closing(sqlite3.connect(site.sqlite_file, timeout=20, isolation_level=None)) as person:
            person.execute("PRAGMA journal_mode=WAL")
            number = 0
            while not stop.is_set():
                number += 1
                person.execute("BEGIN IMMEDIATE")
                person.execute("INSERT INTO auth_group (name) VALUES (?)", [f"group {number}"])
                person.execute("INSERT INTO django_session VALUES (?, '', '2030-01-01')", [f"session {number}"])
                person.execute("COMMIT")

    before = sqlite.rows(site.sqlite_file)
    writer = threading.Thread(target=write)
    writer.start()
    try:
        found = [make_copy(site, tmp_path / "copies", now=NOW + timedelta(days=day)).manifest.rows for day in range(4)]
    finally:
        stop.set()
        writer.join()
    more = [
        (one["auth_group"] - before["auth_group"], one["django_session"] - before["django_session"]) for one in found
    ]
    assert all(groups == sessions for groups, sessions in more)
    assert more[-1][0] > more[0][0]


class FullDisk(io.FileIO):
    """A file on a disk with room for so many bytes more."""

    room = 0

    def write(self, content: Any, /) -> int:
        FullDisk.room -= len(content)
        if FullDisk.room < 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        return super().write(content)


@pytest.mark.parametrize("room", [0, 100, 20_000, 60_000])
def test_a_full_disk_leaves_nothing_half(
    room: int, site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copies = tmp_path / "copies"
    first = make_copy(site, copies, now=NOW, keep=1).path

    def create(path: Path) -> io.FileIO:
        FullDisk.room = room
        return FullDisk(path, "x+")

    monkeypatch.setattr(archive, "create_private", create)
    with pytest.raises(CopyRefused, match="is full"):
        make_copy(site, copies, now=NOW + timedelta(days=1), keep=1)
    assert left_in(copies) == {first.name}
    monkeypatch.undo()
    assert make_copy(site, copies, now=NOW + timedelta(days=2), keep=1).path.exists()


@pytest.fixture
def tiny_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 400 kB, where this machine lets one be mounted."""
    folder = tmp_path / "tiny"
    folder.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=400k", "tmpfs", folder], capture_output=True).returncode:
        pytest.skip("no disk may be mounted here")
    yield folder
    subprocess.run(["umount", folder], check=True)


def test_a_disk_too_small_for_the_database_is_told(site: Site, tiny_disk: Path) -> None:
    with pytest.raises(CopyRefused, match="is full"):
        make_copy(site, tiny_disk, now=NOW)
    assert left_in(tiny_disk) == set()


def test_a_disk_too_small_to_restore_on_is_told(copy: Path, tiny_disk: Path) -> None:
    with pytest.raises(CopyRefused, match="more than the disk"):
        bring_back(shop_at(tiny_disk), copy, now=NOW)
    assert left_in(tiny_disk) == set()


def test_a_damaged_database_is_no_copy(site: Site, tmp_path: Path) -> None:
    content = bytearray(site.sqlite_file.read_bytes())
    content[8192:16384] = bytes(8192)
    site.sqlite_file.write_bytes(content)
    with pytest.raises(CopyRefused, match="damaged|no whole|cannot be copied"):
        make_copy(site, tmp_path / "copies", now=NOW)
    assert left_in(tmp_path / "copies") == set()


def test_no_database_is_no_copy(elsewhere: Site, tmp_path: Path) -> None:
    with pytest.raises(CopyRefused, match="no database"):
        make_copy(elsewhere, tmp_path / "copies", now=NOW)
    assert left_in(tmp_path / "copies") == set()


def test_a_file_that_is_gone_already_is_told_and_the_rest_is_copied(
    site: Site, tmp_path: Path, elsewhere: Site
) -> None:
    (site.files / DOCUMENT).unlink()
    made = make_copy(site, tmp_path / "copies", now=NOW)
    assert made.manifest.missing == (DOCUMENT,)
    bring_back(elsewhere, made.path, now=NOW)
    assert sqlite.rows(elsewhere.sqlite_file) == sqlite.rows(site.sqlite_file)


def test_a_half_uploaded_file_waits_for_the_next_copy(site: Site, tmp_path: Path) -> None:
    """Its record is not in this copy; what lay there before is taken, recorded or not."""
    (site.files / "half.pdf").write_bytes(b"%PDF")
    files = make_copy(site, tmp_path / "copies", now=NOW).manifest.files
    assert f"files/{DOCUMENT}" in files
    assert "files/half.pdf" not in files
    later = make_copy(site, tmp_path / "copies", now=NOW + timedelta(days=3650)).manifest.files
    assert "files/half.pdf" in later


def test_a_link_among_the_files_is_told(site: Site, tmp_path: Path) -> None:
    (site.files / "elsewhere").symlink_to("/etc")
    assert make_copy(site, tmp_path / "copies", now=NOW).left_out == ("elsewhere",)


@pytest.mark.parametrize("inside", ["", "files/copies"])
def test_copies_are_not_made_into_what_is_copied(site: Site, inside: str) -> None:
    with pytest.raises(CopyRefused, match="own data"):
        make_copy(site, site.data / inside, now=NOW)


def test_keeping_none_is_refused(site: Site, tmp_path: Path) -> None:
    with pytest.raises(CopyRefused, match="1 or more"):
        make_copy(site, tmp_path, now=NOW, keep=0)


def test_a_copy_that_reads_otherwise_than_written_is_refused(
    site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = archive.write_archive

    def lies(path: Path, *rest: Any) -> Any:
        written = write(path, *rest)
        path.write_bytes(path.read_bytes().replace(b"shop.sqlite3", b"shop.sqlitf3", 1))
        return written

    monkeypatch.setattr(make, "write_archive", lies)
    with pytest.raises(CopyRefused, match="damaged"):
        make_copy(site, tmp_path / "copies", now=NOW)
    assert left_in(tmp_path / "copies") == set()

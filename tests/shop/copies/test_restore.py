"""A copy comes back whole, or not at all: what is damaged is refused in words, leaves nothing, and blocks nothing."""

import os
import shutil
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from shop.base.restores import restores
from shop.copies import bring_back as bringing
from shop.copies.bring_back import bring_back
from shop.copies.make import make_copy
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site
from shop.copies.sqlite import rows
from tests.shop.copies.conftest import DOCUMENT, NOW, left_in, shop_at
from tests.shop.copies.damages import BYTES, CONTENT, members_of, pack


def assert_refused_then_the_good_one_comes(site: Site, bad: Path, good: Path, words: str) -> None:
    before = left_in(site.data)
    with pytest.raises(CopyRefused, match=words):
        bring_back(site, bad, now=NOW)
    assert left_in(site.data) == before
    assert rows(bring_back_to(site, good).sqlite_file)["jobs_job"] >= 1


def bring_back_to(site: Site, copy: Path) -> Site:
    bring_back(site, copy, now=NOW)
    return site


def test_a_copy_comes_back_equal(site: Site, copy: Path, elsewhere: Site) -> None:
    bring_back(elsewhere, copy, now=NOW)
    assert rows(elsewhere.sqlite_file) == rows(site.sqlite_file)
    assert (elsewhere.files / DOCUMENT).read_bytes() == (site.files / DOCUMENT).read_bytes()
    modes = {
        path.stat().st_mode & 0o077 for path in (elsewhere.sqlite_file, elsewhere.files, elsewhere.files / DOCUMENT)
    }
    assert modes == {0}


@pytest.mark.parametrize(("change", "words"), [one[1:] for one in BYTES], ids=[one[0] for one in BYTES])
def test_a_damaged_file_is_refused(
    change: Callable[[bytes], bytes], words: str, copy: Path, elsewhere: Site, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.zip"
    bad.write_bytes(change(copy.read_bytes()))
    assert_refused_then_the_good_one_comes(elsewhere, bad, copy, words)


@pytest.mark.parametrize(("change", "words"), [one[1:] for one in CONTENT], ids=[one[0] for one in CONTENT])
def test_content_of_another_kind_is_refused(
    change: Callable[[Path], Any], words: str, copy: Path, elsewhere: Site, tmp_path: Path
) -> None:
    bad = pack(tmp_path / "bad.zip", change(copy))
    assert_refused_then_the_good_one_comes(elsewhere, bad, copy, words)
    assert not (tmp_path / "escaped").exists()


def test_two_files_of_one_name_are_refused(copy: Path, elsewhere: Site, tmp_path: Path) -> None:
    with pytest.warns(UserWarning, match="Duplicate name"):
        bad = pack(tmp_path / "bad.zip", [*members_of(copy).items(), ("shop.sqlite3", b"another")])
    assert_refused_then_the_good_one_comes(elsewhere, bad, copy, "two files of one name")


def test_a_link_in_the_copy_becomes_no_link(copy: Path, elsewhere: Site, tmp_path: Path) -> None:
    """The zip says that the attachment is a link to elsewhere: its content is compared, no link is ever made."""
    link = zipfile.ZipInfo(f"files/{DOCUMENT}")
    link.create_system, link.external_attr = 3, 0o120777 << 16
    members = {**members_of(copy)}
    members.pop(f"files/{DOCUMENT}")
    bad = pack(tmp_path / "bad.zip", [*members.items(), (link, b"/etc/passwd")])
    assert_refused_then_the_good_one_comes(elsewhere, bad, copy, "is not what was copied")


def test_another_way_of_packing_is_refused(copy: Path, elsewhere: Site, tmp_path: Path) -> None:
    bad = pack(tmp_path / "bad.zip", members_of(copy), zipfile.ZIP_LZMA)
    content = bytearray(bad.read_bytes())
    content[8] = content[8] | 1  # says that it is locked with a password
    bad.write_bytes(content)
    assert_refused_then_the_good_one_comes(elsewhere, bad, copy, "damaged")


def test_what_is_no_file_is_refused(copy: Path, elsewhere: Site, tmp_path: Path) -> None:
    assert_refused_then_the_good_one_comes(elsewhere, tmp_path, copy, "no such file")


def test_nothing_is_brought_back_over_records(site: Site, copy: Path) -> None:
    before = rows(site.sqlite_file)
    with pytest.raises(CopyRefused, match="not empty"):
        bring_back(site, copy, now=NOW)
    assert rows(site.sqlite_file) == before


def test_nothing_is_brought_back_over_files(elsewhere: Site, copy: Path) -> None:
    elsewhere.files.mkdir(parents=True)
    (elsewhere.files / "kept").write_text("kept")
    with pytest.raises(CopyRefused, match="holds files already"):
        bring_back(elsewhere, copy, now=NOW)
    assert left_in(elsewhere.data) == {"files", "files/kept"}


def test_what_is_there_is_set_aside_whole(site: Site, copy: Path) -> None:
    (site.files / "later").write_text("after the copy")
    kept = bring_back(site, copy, now=NOW, set_aside=True).set_aside
    assert (Path(kept[0]) / "files" / "later").read_text() == "after the copy"
    assert rows(Path(kept[0]) / "shop.sqlite3") == rows(site.sqlite_file)
    assert not (site.files / "later").exists()


@pytest.mark.parametrize("wreck", [b"", b"no database at all", b"SQLite format 3\x00" + bytes(4000)])
def test_a_wrecked_database_is_set_aside(site: Site, copy: Path, wreck: bytes) -> None:
    counted = rows(site.sqlite_file)
    site.sqlite_file.write_bytes(wreck)
    bring_back(site, copy, now=NOW, set_aside=True)
    assert rows(site.sqlite_file) == counted


def test_a_database_in_use_is_left_alone(site: Site, copy: Path) -> None:
    with closing(sqlite3.connect(site.sqlite_file)) as person:
        person.execute("PRAGMA journal_mode=WAL")
        person.execute("SELECT count(*) FROM jobs_job").fetchone()
        before = left_in(site.data)
        with pytest.raises(CopyRefused, match="still running"):
            bring_back(site, copy, now=NOW, set_aside=True)
        assert left_in(site.data) == before
    bring_back(site, copy, now=NOW, set_aside=True)


@pytest.mark.parametrize("at", [1, 2, 3, 4])
def test_a_failure_while_putting_in_place_is_undone(
    at: int, site: Site, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, rename, calls = left_in(site.data), os.rename, []

    def fails(source: Path, target: Path) -> None:
        calls.append(target)
        if len(calls) == at:
            raise OSError(5, "Input/output error", str(target))
        rename(source, target)

    monkeypatch.setattr(bringing.os, "rename", fails)
    with pytest.raises(CopyRefused, match="Input/output error"):
        bring_back(site, copy, now=NOW, set_aside=True)
    monkeypatch.undo()
    assert left_in(site.data) == before | {"restores"}


def test_numbers_go_on_above_those_printed_since(site: Site, copy: Path, elsewhere: Site) -> None:
    """A job made after the copy is gone, and its printed code must lead to no other job."""
    with closing(sqlite3.connect(site.sqlite_file)) as database:
        given = dict(database.execute("SELECT name, seq FROM sqlite_sequence"))
    bring_back(elsewhere, copy, now=NOW)
    with closing(sqlite3.connect(elsewhere.sqlite_file)) as database:
        goes_on = dict(database.execute("SELECT name, seq FROM sqlite_sequence"))
    assert {name: goes_on[name] - number for name, number in given.items()} == dict.fromkeys(given, 1000)
    assert min(goes_on.values()) >= 1000
    assert restores(elsewhere.data) == 1


def test_the_count_of_restores_goes_with_the_copy(site: Site, copy: Path, tmp_path: Path) -> None:
    first, second = shop_at(tmp_path / "first"), shop_at(tmp_path / "second")
    bring_back(first, copy, now=NOW)
    again = make_copy(first, tmp_path / "again", now=NOW).path
    bring_back(second, again, now=NOW)
    assert restores(second.data) == 2


def test_what_a_killed_restore_left_is_cleared_away(copy: Path, elsewhere: Site) -> None:
    left = elsewhere.data / ".copies-at-work-killed"
    left.mkdir(parents=True)
    shutil.copy(copy, left)
    bring_back(elsewhere, copy, now=NOW)
    assert not left.exists()

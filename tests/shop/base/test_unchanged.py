"""What is kept is today's: whoever writes, however he writes, the next reader works it out again."""

import os
import shutil
import sqlite3
from threading import Barrier, Thread

import pytest
from django.conf import settings
from django.db import connection, transaction

from shop.base import unchanged
from shop.base.asked_again import listening
from shop.base.state_mark import is_unchanged_since, mark
from shop.base.unchanged import at_one_look, while_unchanged
from specs.models import Component
from tests.factories.measuring import make_component
from tests.shop.base.test_two_connections import at_once

pytestmark = pytest.mark.django_db(transaction=True)
ON_SQLITE = "sqlite" in settings.DATABASES["default"]["ENGINE"]


@pytest.fixture
def names():
    """Ask for the names of all components, and how often they were read from the database."""
    asked = []

    @while_unchanged
    def read(kind: str = "") -> list[str]:
        asked.append(kind)
        return list(Component.objects.filter(kind__contains=kind).order_by("pk").values_list("name", flat=True))

    read.asked = asked
    return read


def in_a_thread(work):
    def run():
        try:
            work()
        finally:
            connection.close()

    other = Thread(target=run)
    other.start()
    other.join()


def test_it_is_read_once_until_somebody_writes_by_whatever_way(names):
    box = make_component(name="one")
    assert [names(), names()] == [["one"], ["one"]]
    assert len(names.asked) == 1
    Component.objects.filter(pk=box.pk).update(name="two")
    assert names() == ["two"]
    in_a_thread(lambda: Component.objects.filter(pk=box.pk).update(name="three"))
    assert names() == ["three"]
    with connection.cursor() as cursor:
        cursor.execute("UPDATE specs_component SET name = 'four'")
    assert names() == ["four"]
    with transaction.atomic():
        Component.objects.update(name="five")
    assert [names(), names()] == [["five"], ["five"]]
    assert len(names.asked) == 5
    assert names("gear") == names(kind="gear") == list(Component.objects.values_list("name", flat=True))
    assert len(names.asked) == 7  # told apart by what it was asked


def test_within_a_transaction_everything_is_read_and_nothing_is_kept(names):
    make_component(name="one")
    assert names() == ["one"]
    with transaction.atomic():
        Component.objects.update(name="never")
        assert mark() is None
        assert [names(), names()] == [["never"], ["never"]]
        transaction.set_rollback(True)
    assert names() == ["one"]


def test_who_writes_knows_whether_anybody_wrote_since_he_read():
    make_component(name="one")
    before = mark()
    with transaction.atomic():
        Component.objects.update(name="his own")
        assert is_unchanged_since(before) is ON_SQLITE
        assert not is_unchanged_since(None)
    with transaction.atomic():
        assert not is_unchanged_since(before)
    assert not is_unchanged_since(mark()), "outside a transaction nothing keeps the others from writing"


def test_what_failed_is_asked_again():
    tries = []

    @while_unchanged
    def fails_once() -> str:
        tries.append(1)
        if len(tries) == 1:
            raise ValueError("the disk")
        return "here"

    with pytest.raises(ValueError, match="the disk"):
        fails_once()
    assert [fails_once(), fails_once(), len(tries)] == ["here", "here", 2]


def test_many_who_ask_at_once_wait_for_one_who_reads(names):
    make_component(name="one")
    assert at_once(*[names] * 6) == [["one"]] * 6
    assert len(names.asked) == 1


@pytest.fixture
def looks(monkeypatch):
    """How often the database was asked for its mark."""
    asked = []
    monkeypatch.setattr(unchanged, "mark", lambda: asked.append(1) or mark())
    return asked


def test_a_page_is_of_the_state_in_which_it_began_until_somebody_here_knows_a_later_one(names, looks):
    make_component(name="one")
    assert names() == ["one"]
    with at_one_look(mark()), listening():
        looks.clear()
        assert [names(), names()] == [["one"], ["one"]]
        assert not looks, "the mark was asked for when the page began"
        in_a_thread(lambda: Component.objects.update(name="two"))
        assert names() == ["one"]
        in_a_thread(names)
        assert names() == ["two"], "another page of this process has come to a later state"
    in_a_thread(lambda: Component.objects.update(name="three"))
    assert names() == ["three"], "outside a page everything is of this moment"


def test_a_page_that_writes_reads_what_it_wrote(names):
    make_component(name="one")
    assert names() == ["one"]
    with at_one_look(mark()), listening():
        assert names() == ["one"]
        with transaction.atomic():
            Component.objects.update(name="two")
            assert names() == ["two"]
        assert names() == ["two"]
        Component.objects.update(name="three")
        assert names() == ["three"]


@pytest.mark.skipif(not ON_SQLITE, reason="a file takes the place of another on SQLite only")
def test_another_file_in_its_place_is_another_database(names, tmp_path, monkeypatch):
    file, other = tmp_path / "kept.sqlite3", tmp_path / "other.sqlite3"
    for path in (file, other):
        with sqlite3.connect(path) as made:
            made.execute("PRAGMA journal_mode=WAL")
            made.execute(f"CREATE TABLE of_{path.stem} (a)")
        made.close()
    monkeypatch.setitem(connection.settings_dict, "NAME", str(file))
    before = mark()
    assert before is not None
    assert mark() == before
    os.replace(other, file)
    assert mark() != before
    file.unlink()
    assert mark() is None


@pytest.mark.skipif(not ON_SQLITE, reason="a database is one file on SQLite only")
def test_after_a_request_the_one_file_holds_everything_although_it_is_watched(tmp_path, client):
    mark()
    make_component(name="written last")
    client.get("/people/sign-in/")
    copy = shutil.copy(connection.settings_dict["NAME"], tmp_path / "only-this.sqlite3")
    with sqlite3.connect(copy) as found:
        assert found.execute("SELECT name FROM specs_component").fetchall() == [("written last",)]
    found.close()


@pytest.mark.skipif(not ON_SQLITE, reason="a connection is watched on SQLite only")
def test_the_two_halves_of_a_fork_keep_apart(names):
    here = mark()
    read, write = os.pipe()
    child = os.fork()
    if child == 0:  # pragma: no cover
        os.write(write, b"same" if mark() == here else b"other")
        os._exit(0)
    os.waitpid(child, 0)
    assert os.read(read, 10) == b"other"
    assert mark() == here


def test_a_writer_who_has_not_committed_is_not_seen_and_then_is(names):
    make_component(name="one")
    wrote, seen = Barrier(2), Barrier(2)

    def write() -> None:
        with transaction.atomic():
            Component.objects.update(name="two")
            wrote.wait(20)
            seen.wait(20)
        connection.close()

    writer = Thread(target=write)
    writer.start()
    wrote.wait(20)
    assert names() == ["one"]
    seen.wait(20)
    writer.join()
    assert names() == ["two"]

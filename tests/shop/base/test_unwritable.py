"""A locked database or a full disk is told in words, and what was sent stays in the page."""

import errno
import sqlite3
from contextlib import closing

import pytest
from django.core.files.base import ContentFile
from django.db import OperationalError

from shop.base import error_pages
from shop.base.storage import SyncedStorage
from shop.orders import changes
from shop.orders.models import Supplier
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


def opened(folder):
    return closing(sqlite3.connect(folder / "a.sqlite3", timeout=0, isolation_level=None))


def fault_of(write):
    with pytest.raises(sqlite3.OperationalError) as fault:
        write()
    return OperationalError(str(fault.value))


def locked(folder):
    """What a real database file says while another connection holds its write lock."""
    with opened(folder) as first, opened(folder) as second:
        first.execute("BEGIN IMMEDIATE")
        return fault_of(lambda: second.execute("BEGIN IMMEDIATE"))


def full(folder):
    """What a real database file says that may not grow any more."""
    with opened(folder) as found:
        found.execute("CREATE TABLE a (b)")
        found.execute("PRAGMA max_page_count=2")
        return fault_of(lambda: found.execute("INSERT INTO a VALUES (zeroblob(100000))"))


@pytest.mark.parametrize(("make", "words"), [(locked, error_pages.LOCKED), (full, error_pages.FULL)])
def test_a_save_that_cannot_be_written_keeps_its_form(buyer, tmp_path, monkeypatch, make, words):
    fault = make(tmp_path)

    def refuse(**given):
        raise fault

    with monkeypatch.context() as now:
        now.setattr(changes, "save_supplier", refuse)
        answer = press(buyer, "/orders/suppliers/new/", name="Odderby Castings")
    assert answer.status_code == 503
    page = answer.content.decode()
    assert words in collapsed(answer).replace("&#x27;", "'")
    assert 'name="name" value="Odderby Castings"' in page
    assert 'action="/orders/suppliers/new/"' in page
    assert not Supplier.objects.exists()


def test_another_fault_of_the_database_is_no_matter_of_waiting():
    assert error_pages.why_unwritable(OperationalError("no such table: a")) == ""


def test_a_session_that_a_full_disk_does_not_take_is_told_in_words(owner, monkeypatch, settings):
    def refuse(*given, **named):
        raise OperationalError("database or disk is full")

    settings.SESSION_SAVE_EVERY_REQUEST = True
    monkeypatch.setattr("django.contrib.sessions.backends.db.SessionStore.save", refuse)
    owner.raise_request_exception = False
    answer = owner.get("/vehicles/customers/")
    assert answer.status_code == 503
    assert error_pages.FULL in collapsed(answer)


def test_a_file_that_a_full_disk_takes_by_half_is_not_left_there(tmp_path, monkeypatch):
    def takes_half(path):
        raise OSError(errno.ENOSPC, "No space left on device")

    kept = SyncedStorage(location=tmp_path / "files")
    kept.save("whole.pdf", ContentFile(b"%PDF-1.4"))
    monkeypatch.setattr("shop.base.storage._sync", takes_half)
    for name in ("half.pdf", "whole.pdf"):
        with pytest.raises(OSError, match="No space left"):
            kept.save(name, ContentFile(b"%PDF-1.4 more"))
    assert (tmp_path / "files" / "whole.pdf").read_bytes() == b"%PDF-1.4"
    assert not (tmp_path / "files" / "half.pdf").exists()

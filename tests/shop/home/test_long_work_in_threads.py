"""Long work as the served site does it, in a thread of its own: followed, left, failed, twice at once, cut off."""

import threading
from datetime import timedelta
from threading import Event, Thread
from types import SimpleNamespace

import pytest
from django.core.exceptions import ValidationError
from django.db import OperationalError, connection
from django.utils import timezone

from shop.base import long_work
from shop.base.long_work import BROKE, BUSY, LongKind, WorkProgress, begin, begin_again
from shop.base.models import LongWork
from tests.pages import words_of

pytestmark = pytest.mark.django_db(transaction=True)
FAULTS = {
    "refused": (ValidationError("Line 2 has no day."), "Line 2 has no day."),
    "busy": (OperationalError("database is locked"), BUSY),
    "broken": (RuntimeError("no such thing"), BROKE),
}


@pytest.fixture
def quarry(monkeypatch, settings):
    """Work that moves one stone, waits until it is let go on, and moves the others; how often it was begun."""
    settings.LONG_WORK_IN_THREADS = True
    quarry = SimpleNamespace(go_on=Event(), begun=[])

    def run(given, person):
        quarry.begun.append(person.username)
        for at in range(given.get("moved", 0), 3):
            yield WorkProgress(at + 1, 3, "3 stones moved.")
            assert quarry.go_on.wait(30)
            if given.get("fault") and len(quarry.begun) == 1:
                raise FAULTS[given["fault"]][0]

    kind = LongKind("test.quarry", run, "jobs.sign", leads_to="home:today")
    monkeypatch.setattr(long_work, "long_kinds", lambda: {kind.name: kind})
    monkeypatch.setattr("shop.home.views.long_work.long_kinds", lambda: {kind.name: kind})
    before = set(threading.enumerate())
    quarry.end = lambda: [thread.join(30) for thread in set(threading.enumerate()) - before]
    yield quarry
    quarry.go_on.set()
    quarry.end()


def quarry_work(person, **given):
    return begin("test.quarry", title="Moving stones", given=given, person=person, now=timezone.now())


def page_once(client, address, words):
    """The words of a page as soon as it says something, asked as its script asks."""
    for _ in range(200):
        page = words_of(client.get(address))
        if words in page:
            return page
        Event().wait(0.05)
    raise AssertionError(f"{address} never said {words!r}: {page}")


def test_one_leaves_its_page_and_finds_it_on_today_until_it_is_done(fitter, people, quarry):
    address = f"/work/{quarry_work(people['fitter']).pk}/"
    assert "You may leave this page" in page_once(fitter, address, "1 of 3")
    assert "Moving stones at work 1 of 3" in words_of(fitter.get("/"))
    fitter.post(address)
    quarry.go_on.set()
    assert "Continue" in page_once(fitter, address, "3 stones moved.")
    assert "Done: Moving stones 3 stones moved." in words_of(fitter.get("/"))
    assert quarry.begun == ["fitter"]


@pytest.mark.parametrize("fault", FAULTS)
def test_what_it_fails_by_is_told_in_words_and_a_press_does_it_again(fitter, people, quarry, fault):
    address = f"/work/{quarry_work(people['fitter'], fault=fault).pk}/"
    quarry.go_on.set()
    page = page_once(fitter, address, "Not finished")
    assert FAULTS[fault][1] in page
    assert "1 of 3 are done." in page
    assert "no such thing" not in page
    fitter.post(address)
    page_once(fitter, address, "3 stones moved.")


def test_two_at_once_do_not_wait_for_one_another(fitter, machinist, people, quarry):
    works = {fitter: quarry_work(people["fitter"]), machinist: quarry_work(people["machinist"])}
    for client, work in works.items():
        page_once(client, f"/work/{work.pk}/", "1 of 3")
    quarry.go_on.set()
    for client, work in works.items():
        page_once(client, f"/work/{work.pk}/", "3 stones moved.")


def test_of_two_who_press_at_once_one_goes_on_with_it(people, quarry):
    work = quarry_work(people["fitter"], fault="refused")
    quarry.go_on.set()
    quarry.end()
    seen = [LongWork.objects.get(pk=work.pk) for _ in range(2)]
    presses = [Thread(target=press, args=[one, people["fitter"]]) for one in seen]
    for one in presses:
        one.start()
    for one in presses:
        one.join()
    quarry.end()
    assert quarry.begun == ["fitter", "fitter"]
    assert LongWork.objects.get().result == "3 stones moved."


def press(work, person):
    try:
        begin_again(work, person=person, now=timezone.now())
    finally:
        connection.close()


def test_one_cut_off_with_its_process_says_so_and_goes_on_in_another(fitter, people, quarry):
    """What a process that was killed leaves behind: a work that nobody heard of for a minute."""
    silent = timezone.now() - timedelta(seconds=61)
    work = LongWork.objects.create(
        kind="test.quarry",
        title="Moving stones",
        given={"moved": 1},
        person=people["fitter"],
        asked_at=silent,
        beat_at=silent,
        done=1,
        total=3,
    )
    page = words_of(fitter.get(f"/work/{work.pk}/"))
    assert "The site was stopped before this was finished. 1 of 3 are done." in page
    quarry.go_on.set()
    fitter.post(f"/work/{work.pk}/")
    page_once(fitter, f"/work/{work.pk}/", "3 stones moved.")
    assert quarry.begun == ["fitter"]

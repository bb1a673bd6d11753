"""Work that takes longer than a page: followed, and gone on with."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.base import long_work
from shop.base.long_work import LongKind, WorkProgress, begin
from shop.base.models import LongWork
from tests.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def stones(monkeypatch):
    """A kind of work that moves stones, and the stones that it moved."""
    moved: list[int] = []

    def run(given, person):
        for at in range(len(moved), given["stones"]):
            if at == given.get("stuck") and at not in moved:
                given["stuck"] = None
                raise ValidationError("The third is stuck.")
            moved.append(at)
            yield WorkProgress(len(moved), given["stones"], f"{len(moved)} moved.")

    kind = LongKind("test.stones", run, "people.manage", leads_to="home:today")
    # The view first: imported after the other was replaced it would keep the stand-in for good.
    monkeypatch.setattr("shop.home.views.long_work.long_kinds", lambda: {kind.name: kind})
    monkeypatch.setattr(long_work, "long_kinds", lambda: {kind.name: kind})
    return moved


def stone_work(people, **given):
    return begin("test.stones", title="Moving stones", given=given, person=people["owner"], now=timezone.now())


def test_it_tells_what_came_of_it_on_its_page_and_on_today(owner, people, stones):
    work = stone_work(people, stones=4)
    assert "4 moved." in words_of(owner.get(f"/work/{work.pk}/"))
    assert "Done: Moving stones 4 moved." in words_of(owner.get("/"))
    assert LongWork.objects.get().given == {}


def test_a_fault_is_told_and_a_press_goes_on_where_it_ended(owner, people, stones):
    work = stone_work(people, stones=4, stuck=2)
    page = words_of(owner.get(f"/work/{work.pk}/"))
    assert "Not finished: The third is stuck. 2 of 4 are done." in page
    assert owner.post(f"/work/{work.pk}/").status_code == 302
    assert "4 moved." in words_of(owner.get(f"/work/{work.pk}/"))
    assert stones == [0, 1, 2, 3]


def test_one_whose_site_was_ended_says_so_and_one_at_work_is_not_begun_twice(owner, people, stones):
    now = timezone.now()
    work = LongWork.objects.create(
        kind="test.stones", title="Moving", person=people["owner"], asked_at=now, beat_at=now, given={"stones": 2}
    )
    assert "You may leave this page" in words_of(owner.get(f"/work/{work.pk}/"))
    owner.post(f"/work/{work.pk}/")
    assert stones == []
    LongWork.objects.filter(pk=work.pk).delete()
    work.beat_at = now - timedelta(minutes=5)
    work.save(force_insert=True)
    assert "The site was stopped before this was finished." in words_of(owner.get(f"/work/{work.pk}/"))
    owner.post(f"/work/{work.pk}/")
    assert stones == [0, 1]


def test_anothers_work_is_not_shown(fitter, people, stones):
    assert fitter.get(f"/work/{stone_work(people, stones=1).pk}/").status_code == 404


def test_a_work_that_is_being_done_is_never_shown_as_it_was(owner, people, stones):
    now = timezone.now()
    work = LongWork.objects.create(
        kind="test.stones", title="Moving stones", given={}, person=people["owner"], asked_at=now, beat_at=now
    )
    page = owner.get(f"/work/{work.pk}/")
    assert "At work for" in words_of(page)
    assert page["Cache-Control"] == "no-store"
    work.ended_at, work.result = now, "All moved."
    work.save()
    assert owner.get(f"/work/{work.pk}/").get("Cache-Control") != "no-store"

"""Every act on the ticked rows of every list: two of three done, the one that moved named, one undo for the whole."""

import os

import pytest
from django.utils import timezone

from shop.base.bulk import MOVED, bulk_lists
from shop.base.models import BulkChange
from tests.factories.jobs import make_part_need, make_step
from tests.factories.measuring import make_reading
from tests.factories.orders import make_line, make_order
from tests.factories.planning import in_days
from tests.pages import once, words_of
from tests.shop.home.test_bulk import ticks

pytestmark = pytest.mark.django_db
EVERY = [(name, act.name) for name, one in bulk_lists().items() for act in one.acts]
EVERY = EVERY[:: 2 if os.environ.get("CI") == "true" else 1]


def late_line():
    return make_line(order=make_order(), promised=in_days(-9), quantity=3)


# Of each list its address, and what makes one of its rows.
ROWS = {
    "jobs.step": ("/jobs/steps/", make_step),
    "jobs.part": ("/jobs/parts/", make_part_need),
    "measuring.reading": ("/measuring/readings/", make_reading),
    "orders.order": ("/orders/", lambda: late_line().order),
    "planning.late": ("/planning/late/", late_line),
}


def answers(people):
    """What each act asks."""
    today = timezone.localdate().isoformat()
    return {
        "assign": {"person": people["fitter"].pk},
        "delete": {"reason": "entered twice"},
        "received": {"on": today, "note": "the shelf"},
        "date": {"day": in_days(20).isoformat(), "given_on": today, "how": "phone"},
        "receive": {"on": today},
    }


@pytest.mark.parametrize(("name", "act"), EVERY, ids=[f"{name}-{act}" for name, act in EVERY])
def test_what_moved_is_named_the_others_are_done_and_undone(owner, people, name, act):
    address, make = ROWS[name]
    made = [make() for _ in range(3)]
    rows = ticks(owner.get(address))
    assert len(rows) == 3
    moved = made[1]
    moved.version += 1
    type(moved).objects.filter(pk=moved.pk).update(version=moved.version)
    sent = {"row": rows, "act": act, "came_from": address, "sure": "yes", **answers(people)[act], **once()}
    told = words_of(owner.post(f"/bulk/{name}/", sent, follow=True))
    assert "2 of 3 done" in told, told
    assert "Not changed 1" in told
    assert MOVED in told
    changed = BulkChange.objects.get()
    assert [one["key"] for one in changed.refused] == [moved.pk]
    told = words_of(owner.post(f"/bulk/{changed.pk}/undo/", follow=True))
    assert "Could not be undone" not in told
    assert sorted(row.split(":")[0] for row in ticks(owner.get(address))) == sorted(row.split(":")[0] for row in rows)


@pytest.mark.parametrize("name", bulk_lists())
def test_ticked_rows_of_every_list_are_exported(owner, name):
    address, make = ROWS[name]
    make()
    make()
    rows = ticks(owner.get(address))[:1]
    file = owner.post(f"/bulk/{name}/", {"row": rows, "act": "csv"})
    assert len(file.content.decode("utf-8-sig").strip().splitlines()) == 2

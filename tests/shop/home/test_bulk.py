"""Doing one thing to many ticked rows of a list."""

import re

import pytest
from django.utils import timezone

from shop.base.bulk import bulk_lists
from shop.base.models import BulkChange
from shop.jobs.models import Step
from shop.orders.models import Delivery, Order, OrderLine
from specs.models import Measurement
from tests.factories.jobs import make_job, make_step
from tests.factories.measuring import make_reading
from tests.factories.orders import make_line, make_order
from tests.factories.planning import in_days
from tests.pages import collapsed, once, words_of

pytestmark = pytest.mark.django_db


def ticks(page):
    return re.findall(r'name="row" value="([^"]+)"', collapsed(page))


def act(client, name, rows, act, **answers):
    """Press an act for ticked rows, answer what it asks, and return the page that tells what became of them."""
    sent = {"row": rows, "act": act, "came_from": "/jobs/steps/", "sure": "yes", **answers, **once()}
    return client.post(f"/bulk/{name}/", sent, follow=True)


class TestTwoHundredSteps:
    @pytest.fixture
    def steps(self, people):
        job = make_job()
        return [make_step(job=job, title=f"Step {number}") for number in range(200)]

    def test_three_are_stale_and_named_the_others_changed_and_undone_by_one_press(self, owner, people, steps):
        rows = ticks(owner.get("/jobs/steps/?rows=200"))
        assert len(rows) == 200
        for step in steps[:3]:
            step.cautions = "Hot."
            step.save()
        page = act(owner, "jobs.step", rows, "assign", person=people["fitter"].pk)
        told = words_of(page)
        assert "Assign: 197 of 200 done" in told
        assert "Not changed 3" in told
        assert all(f"{step} : Somebody changed it since you ticked it." in told for step in steps[:3])
        assert Step.objects.filter(person=people["fitter"]).count() == 197
        moved = steps[9]
        moved.refresh_from_db()
        moved.person = people["owner"]
        moved.save()
        page = words_of(owner.post(f"/bulk/{BulkChange.objects.get().pk}/undo/", follow=True))
        assert "Could not be undone 1" in page
        assert [step.person_id for step in Step.objects.exclude(person=None)] == [people["owner"].pk]


def test_the_asking_page_shows_the_rows_and_a_fault_keeps_them(owner, people):
    step = make_step()
    rows = [bulk_lists()["jobs.step"].tick(step)]
    page = owner.post("/bulk/jobs.step/", {"row": rows, "act": "delete", "came_from": "/jobs/steps/"})
    assert "Delete: 1 row" in words_of(page)
    faulty = act(owner, "jobs.step", rows, "delete", reason=" ")
    assert 'id="id_reason_error"' in collapsed(faulty)
    assert ticks(faulty) == rows


def test_pressing_twice_does_it_once(owner, people):
    rows = [bulk_lists()["jobs.step"].tick(make_step())]
    sent = {"row": rows, "act": "assign", "sure": "yes", "person": people["fitter"].pk, **once()}
    first, second = (owner.post("/bulk/jobs.step/", sent) for _ in range(2))
    assert first.url == second.url
    assert BulkChange.objects.count() == 1


def test_each_row_asks_what_its_own_page_asks_and_roles_hold(fitter, buyer, owner):
    order = make_line().order
    row = Order.objects.for_list().get(pk=order.pk)
    rows = [bulk_lists()["orders.order"].tick(row)]
    assert 'value="delete"' not in collapsed(fitter.get("/orders/"))
    assert act(fitter, "orders.order", rows, "delete", reason="twice").status_code == 403
    assert 'value="delete"' in collapsed(buyer.get("/orders/"))
    assert "Delete: 1 of 1 done" in words_of(act(buyer, "orders.order", rows, "delete", reason="twice"))
    owner.post(f"/bulk/{BulkChange.objects.get().pk}/undo/")
    assert Order.objects.active().count() == 1


def test_late_lines_are_given_a_date_or_received_whole_and_it_is_undone(buyer):
    lines = [make_line(order=make_order(), promised=in_days(-9), quantity=3) for _ in range(2)]
    page = act(buyer, "planning.late", ticks(buyer.get("/planning/late/")), "date", **said(in_days(20)))
    assert "Set date: 2 of 2 done" in words_of(page)
    assert not ticks(buyer.get("/planning/late/"))
    buyer.post(f"/bulk/{BulkChange.objects.get().pk}/undo/")
    rows = ticks(buyer.get("/planning/late/"))
    assert len(rows) == 2
    came = {"on": timezone.localdate().isoformat(), "note": ""}
    assert "Record delivery: 2 of 2 done" in words_of(act(buyer, "planning.late", rows, "receive", **came))
    assert [one.quantity for one in Delivery.objects.all()] == [3, 3]
    again = words_of(act(buyer, "planning.late", rows, "receive", **came))
    assert "Tick the rows first." in again
    assert OrderLine.objects.to_come().count() == 0
    assert len(lines) == 2


def said(day):
    return {"day": day.isoformat(), "given_on": timezone.localdate().isoformat(), "how": "phone"}


def test_readings_are_exported_and_deleted_and_come_back(fitter, owner):
    kept, wrong = make_reading(), make_reading()
    rows = ticks(owner.get("/measuring/readings/"))
    assert len(rows) == 2
    chosen = [row for row in rows if row.startswith(f"{wrong.pk}:")]
    file = owner.post("/bulk/measuring.reading/", {"row": chosen, "act": "csv"})
    assert len(file.content.decode("utf-8-sig").strip().splitlines()) == 2
    act(owner, "measuring.reading", chosen, "delete", reason="wrong bore")
    assert list(Measurement.objects.active()) == [kept]
    owner.post(f"/bulk/{BulkChange.objects.get().pk}/undo/")
    assert Measurement.objects.active().count() == 2


def test_what_is_no_row_no_list_or_no_act_is_refused(owner):
    assert owner.get("/bulk/nothing/").status_code == 404
    assert "Tick the rows first." in words_of(owner.post("/bulk/jobs.step/", {"row": ["x", "9:1"]}, follow=True))
    rows = [bulk_lists()["jobs.step"].tick(make_step())]
    assert owner.post("/bulk/jobs.step/", {"row": rows, "act": "burn"}).status_code == 400

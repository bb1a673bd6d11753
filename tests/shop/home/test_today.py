"""The first page by role. What it shows in the demo's workshop is tested beside the demo's making."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from shop.base.panels import Block, panels
from shop.base.rows import Row
from shop.home.views.today import _level
from shop.jobs.changes.work import start
from tests.factories.jobs import make_decision, make_part_need, make_regulated_item
from tests.factories.orders import make_chase, make_line, make_order, make_supplier
from tests.factories.planning import in_days, make_waiting_job
from tests.pages import collapsed, words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_an_empty_shop_says_what_to_do_next(fitter: Client, buyer: Client, owner: Client) -> None:
    said = {
        fitter: ("Nothing is ready for you", "Nothing is past the day", "No worksheet changed", "No two readings"),
        buyer: ("Nobody is due", "Nothing is past the day", "Nothing is promised for this week"),
        owner: ("No job is open", "Nothing is past the day", "No worksheet changed"),
    }
    for client, words in said.items():
        page = words_of(client.get("/"))
        assert [each for each in words if each not in page] == []


def test_the_fitter_starts_own_work_from_here_and_goes_on_with_what_is_begun(fitter):
    shop = make_waiting_job()
    page = collapsed(fitter.get("/"))
    assert f'action="/jobs/steps/{shop.lamps.pk}/start/"' in page
    assert 'Start<span class="hidden-words"> Lamps</span>' in page
    assert "8 h" in page
    fitter.post(f"/jobs/steps/{shop.lamps.pk}/start/")
    page = collapsed(fitter.get("/"))
    assert 'Pause<span class="hidden-words"> Lamps</span>' in page
    assert page.index("Lamps") < page.index("Strip")


def test_what_another_is_at_is_said(fitter, people):
    shop = make_waiting_job()
    start(shop.lamps, person=people["owner"], now=timezone.now())
    assert f"{people['owner'].get_full_name() or people['owner']} at it now" in words_of(fitter.get("/"))


def test_the_fitter_sees_what_a_late_part_holds_up_and_no_button_to_chase(fitter):
    make_waiting_job()
    page = words_of(fitter.get("/"))
    assert "10 days late" in page
    assert "Holds up Tarn (KX 471-B): Mount the gearbox" in page
    assert "Chase" not in page


def test_the_buyer_is_told_to_chase_what_was_never_asked_and_to_weigh_what_was(buyer, people):
    shop = make_waiting_job()
    chase, weigh = f"/orders/{shop.line.order_id}/chase/", f"/planning/line/{shop.line.pk}/"
    assert "Slow Foundry · 1 date given · never asked" in words_of(buyer.get("/"))
    page = collapsed(buyer.get("/"))
    assert (chase in page, weigh in page) == (True, False)
    make_chase(order=shop.line.order, on=timezone.localdate(), ask_again_on=in_days(3), person=people["buyer"])
    page = collapsed(buyer.get("/"))
    assert (chase in page, weigh in page) == (False, True)


def test_the_buyer_sees_what_is_due_to_be_asked_and_what_arrives_within_a_week(buyer, people):
    soon, far = make_line(order=make_order(), promised=in_days(5)), make_line(order=make_order(), promised=in_days(12))
    make_chase(order=far.order, on=in_days(-9), ask_again_on=in_days(-2), person=people["buyer"])
    page = collapsed(buyer.get("/"))
    assert f"/orders/{soon.order_id}/delivery/" in page
    assert f"/orders/{far.order_id}/delivery/" not in page
    assert "2 days overdue" in words_of(buyer.get("/"))


def test_the_owner_sees_each_vehicle_with_the_day_wanted(owner):
    shop = make_waiting_job(wanted_by=in_days(3))
    page = collapsed(owner.get("/"))
    assert str(shop.job.vehicle) in words_of(page)
    assert '<line class="wanted"' in page
    assert "Your work" not in page


def test_a_decision_and_a_part_to_order_lead_a_thumb_to_where_the_act_is(owner, buyer):
    """A phone shows one act only, so the name, which is what a thumb meets, leads to the others."""
    shop = make_waiting_job()
    decision = make_decision(job=shop.job, question="Which ratios?")
    assert f'<a class="name" href="/jobs/decisions/{decision.pk}/">' in collapsed(owner.get("/"))
    need = make_part_need(step=shop.lamps, text="reversing lamps")
    assert f'<a class="name" href="/orders/new/?need={need.pk}">' in collapsed(buyer.get("/"))


def test_the_late_parts_stand_in_the_order_of_their_list(fitter, buyer, owner):
    make_waiting_job(model="Fell")
    make_waiting_job(model="Tarn", slow=make_supplier(name="Other"))
    make_line(order=make_order(), promised=in_days(-90))
    listed = [line.pk for line in buyer.get("/planning/late/").context["table"].data.data]
    for client in (fitter, buyer, owner):
        page = collapsed(client.get("/"))
        places = [page.index(f'#line-{key}"') for key in listed]
        assert len(places) == 3
        assert places == sorted(places)


def test_more_of_everything_asks_no_more_queries(fitter, buyer, owner):
    def more(number: int) -> None:
        shop = make_waiting_job(model=f"Fell {number}", slow=make_supplier(name=f"Foundry {number}"))
        make_line(order=make_order(), promised=timezone.localdate() + timedelta(days=2))
        make_chase(order=shop.line.order, on=in_days(-9), ask_again_on=in_days(-2))

    more(0)
    before = [len(queries_of(client, "/")) for client in (fitter, buyer, owner)]
    for number in range(1, 5):
        more(number)
    assert [len(queries_of(client, "/")) for client in (fitter, buyer, owner)] == before


def test_a_decision_waits_for_whom_it_was_put_to(owner, fitter, people):
    decision = make_decision(question="Redrill or offset the dowels?")
    decision.put_to.set([people["owner"]])
    assert f"/jobs/decisions/{decision.pk}/" in collapsed(owner.get("/"))
    assert "Redrill or offset" not in words_of(fitter.get("/"))


def test_what_needs_approval_waits_for_the_owner(owner, fitter):
    make_regulated_item()
    assert "1 item without licensed approval" in words_of(owner.get("/"))
    assert "licensed approval" not in words_of(fitter.get("/"))


def test_the_owner_is_shown_one_act_to_begin_with(owner):
    make_waiting_job()
    for name in re.findall(r"/setup/(\w+)/skip/", first := collapsed(owner.get("/"))):
        owner.post(f"/setup/{name}/skip/")
    page = collapsed(owner.get("/"))
    assert [one.count('class="act first"') for one in (first, page)] == [1, 1]
    assert first.index('class="act first"') < first.index(">Late parts<")
    assert page.index(">Late parts<") < page.index('class="act first"')


def test_the_end_of_a_long_column_stands_below_the_short_one():
    panel, short, long = panels()[0], Block((), 1, ""), Block((Row("", "a part"),) * 6, 6, "")
    aside, foot = _level([(panel, long)], [(panel, long), (panel, long), (panel, short), (panel, short)])
    assert (len(aside), len(foot)) == (2, 2)
    assert _level([(panel, long)], [(panel, short)]) == ([(panel, short)], [])

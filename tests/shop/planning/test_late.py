"""The late list: what is late, whose job waits for it, ordered by what it holds up."""

import csv
import re
from datetime import timedelta

import pytest
from django.utils import timezone

from shop.jobs.standing import every_job
from shop.orders.held_up import Held
from shop.planning.inputs import read_shop
from shop.planning.late import late_today
from shop.planning.tables import LateLines
from tests.factories.jobs import make_job, make_part_need, make_step, make_step_need
from tests.factories.orders import make_chase, make_line, make_order, make_promise, make_supplier
from tests.factories.planning import in_days, make_past, make_waiting_job
from tests.factories.vehicles import make_vehicle
from tests.pages import collapsed, press, words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


ADDRESS = "/planning/late/"


def days_ago(days):
    return timezone.localdate() - timedelta(days=days)


def make_late(text="clutch kit", days=10, **changes):
    order = changes.pop("order", None) or make_order(
        ordered_on=days_ago(90), supplier=changes.pop("supplier", None) or make_supplier()
    )
    return make_line(order=order, text=text, promised=days_ago(days), **changes)


def make_holding(text="clutch kit", days=10, after=0, model="Tarn"):
    """A late line that a step needs, with so many steps after that one."""
    job = make_job(vehicle=make_vehicle(model=model))
    step = make_step(job=job, title="Mount the gearbox")
    line = make_late(text, days, part_need=make_part_need(step=step))
    for _ in range(after):
        following = make_step(job=job)
        make_step_need(following, step)
        step = following
    return line


def parts(page):
    return re.findall(r'<th role="rowheader" scope="row">(?:<input[^>]*> )?<a href="[^"]*">([^<]*)</a>', page)


def test_a_supplier_silent_for_weeks_is_late_on_today_and_here_without_ever_having_named_a_day(buyer):
    make_line(order=make_order(ordered_on=days_ago(40)), text="release fork")
    make_line(order=make_order(ordered_on=days_ago(9)), text="spigot bearing")
    make_line(order=make_order(ordered_on=days_ago(5), reference="AB 1"), text="dowel")
    make_line(order=make_order(ordered_on=days_ago(3)), text="washer")
    page = collapsed(buyer.get(ADDRESS))
    assert parts(page) == ["release fork", "spigot bearing", "dowel"], "a fresh order has time to be confirmed"
    assert "never confirmed; no date given, silent for 40 days: late" in page
    assert "confirmed, never dated; no date given, silent for 5 days" in page
    assert "not asked yet" in page
    today = words_of(buyer.get("/"))
    assert today.index("release fork") < today.index("spigot bearing") < today.index("dowel"), "in the same order"
    assert "40 days silent" in today
    assert "never confirmed · never asked" in today
    assert "washer" not in today


def test_an_insolvent_suppliers_promise_is_late_at_once_and_expected_nowhere(buyer):
    line = make_holding(days=-5)
    supplier = line.order.supplier
    assert parts(collapsed(buyer.get(ADDRESS))) == []
    supplier.insolvent_on = days_ago(2)
    supplier.save()
    page = collapsed(buyer.get(ADDRESS))
    assert parts(page) == ["clutch kit"]
    assert "not expected: supplier insolvent since" in page
    assert "Nothing is promised for this week" in words_of(buyer.get("/"))
    assert "clutch hose" in words_of(buyer.get("/planning/to-order/")), "it is to be ordered elsewhere"
    send = {"supplier": supplier.pk, "ordered_on": days_ago(0), "tax_percent": 0, "deposit": ""}
    lines = {"lines-TOTAL_FORMS": 1, "lines-INITIAL_FORMS": 0, "lines-0-text": "kit", "lines-0-quantity": 1}
    told = press(buyer, "/orders/new/", **send, **lines, **{"lines-0-price": 1})
    assert ": order from somebody else." in collapsed(told)


@pytest.mark.parametrize(("days", "at_least", "words"), [(0, True, "not known"), (3, True, "3 days or more")])
def test_a_delay_that_no_record_bounds_is_not_called_nought_days(days, at_least, words):
    line = make_holding()
    held = {line.pk: Held(line.part_need.step.job, ("Mount the gearbox",), days, at_least)}
    assert LateLines([], today=timezone.localdate(), held=held).render_costs(line) == words


def test_a_late_line_says_whose_job_waits_and_for_which_step(buyer):
    make_holding(after=2)
    page = collapsed(buyer.get(ADDRESS))
    assert parts(page) == ["clutch kit"]
    assert 'Tarn (KX 471-B): “Mount the gearbox”<span class="on-a-desk"> and 2 steps after it</span>' in page
    assert "10 days overdue" in page


def test_the_order_can_be_turned_and_narrowed_in_the_address(buyer):
    make_late("shelf bolts", days=80)
    make_holding("clutch kit", days=5)
    assert parts(collapsed(buyer.get(f"{ADDRESS}?sort=-stands"))) == ["clutch kit", "shelf bolts"]
    assert parts(collapsed(buyer.get(f"{ADDRESS}?holds=yes"))) == ["clutch kit"]
    assert parts(collapsed(buyer.get(f"{ADDRESS}?words=shelf"))) == ["shelf bolts"]


def test_what_is_not_due_or_has_come_is_not_late(buyer):
    make_late("due today", days=0)
    make_late("came", came=days_ago(1))
    make_late("due tomorrow", days=-1)
    assert "Nothing is late" in collapsed(buyer.get(ADDRESS))


def test_the_last_word_and_when_to_ask_again(buyer):
    line = make_late()
    make_promise(line=line, latest=days_ago(3), given_on=days_ago(20), words="it is on the lorry")
    make_chase(
        order=line.order, on=days_ago(5), answer="still on the lorry", answered_on=days_ago(4), ask_again_on=days_ago(1)
    )
    page = collapsed(buyer.get(ADDRESS))
    assert "still on the lorry" in page
    assert "(due)" in page


def test_a_finished_step_is_held_up_by_nothing(buyer, people):
    line = make_holding()
    step = line.part_need.step
    step.finished_at, step.finished_by = timezone.now(), people["fitter"]
    step.save()
    assert "no job" in collapsed(buyer.get(ADDRESS))


def test_the_list_asks_the_same_number_of_queries_for_one_line_and_for_twenty(buyer):
    """Session, person, roles, preferences; overdue lines with their story; the networks of the jobs; page and count."""
    make_chase(order=make_holding(after=1).order, answer="soon", answered_on=days_ago(1))
    one = queries_of(buyer, ADDRESS)
    for number in range(19):
        line = make_holding(after=number % 3)
        make_chase(order=line.order, answer="soon", answered_on=days_ago(1))
    assert len(queries_of(buyer, ADDRESS)) == len(one)


@pytest.mark.django_db(transaction=True)
def test_while_nobody_writes_the_list_asks_in_what_order_its_lines_stand_and_reads_none_again(buyer):
    buyer.defaults["HTTP_CACHE_CONTROL"] = "no-cache"
    line = make_holding(after=1)
    make_late("shelf bolts", days=80)
    first = collapsed(buyer.get(ADDRESS))
    (asked,) = queries_of(buyer, ADDRESS)
    assert "orders_orderline" in asked
    make_promise(line=line, latest=days_ago(3))
    assert words_of(collapsed(buyer.get(ADDRESS))) != words_of(first)


def test_the_csv_has_the_same_rows_and_nothing_a_spreadsheet_runs(buyer):
    make_holding("=HYPERLINK(1)", after=1)
    make_late("shelf bolts", days=80)
    text = buyer.get(f"{ADDRESS}?as=csv").content.decode("utf-8-sig")
    rows = list(csv.reader(text.splitlines()))
    assert [row[0] for row in rows[1:]] == ["'=HYPERLINK(1)", "shelf bolts"]


def test_hostile_text_is_shown_as_text(buyer):
    make_late("<script>alert(1)</script>")
    assert "<script>alert" not in collapsed(buyer.get(ADDRESS))


def finish(job):
    return read_shop(timezone.localdate()).forecast.finishes[job.pk]


def test_the_late_list_says_how_many_days_each_line_costs(buyer):
    shop = make_waiting_job()
    make_past(shop.slow, *range(5, 125, 5))
    today = timezone.localdate()
    held = late_today(today, every_job(today), read_shop)[1][shop.line.pk]
    sooner = finish(shop.job).p80 - timezone.localdate()
    assert timedelta(days=1) < timedelta(days=held.days) < sooner
    assert f"{held.days} days" in collapsed(buyer.get("/planning/late/"))


def test_what_costs_a_job_most_days_stands_first(buyer):
    shop = make_waiting_job()
    make_past(shop.slow, *range(5, 125, 5))
    short = make_waiting_job(slow=shop.slow, model="Fell")
    make_promise(line=short.line, latest=in_days(-1), given_on=in_days(-3))
    make_step(job=short.job, title="Paint", hours_estimated=4000)
    page = collapsed(buyer.get("/planning/late/"))
    assert page.index("Tarn") < page.index("Fell"), "the second job is decided by its paint"


def test_a_late_line_has_the_mark_of_its_state_and_two_quiet_lines_on_a_phone(buyer):
    make_waiting_job()
    page = collapsed(buyer.get(ADDRESS))
    assert '<span class="mark late in-line" aria-hidden="true"></span>' in page
    assert LateLines.on_phone == ("holds", "stands", "costs")
    head = collapsed(page).partition("<thead")[2].partition("</thead")[0]
    assert re.findall(r'class="[^"]*desk"[^>]*> ?<a[^>]*>([^<]+)', head) == ["Supplier"], (
        "a phone sorts by what it shows"
    )
    assert "overdue · " in page.split('<span class="on-phone">')[1].split("</span>")[0]


def test_a_line_that_was_never_dated_is_marked_as_waiting(buyer):
    make_line(order=make_order(ordered_on=in_days(-60)))
    page = collapsed(buyer.get(ADDRESS))
    assert '<span class="mark waiting in-line" aria-hidden="true"></span>' in page
    assert "mark late" not in page

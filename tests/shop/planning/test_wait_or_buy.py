"""Wait or buy elsewhere: both ways on screen, the decision kept with its reason, and the switch all or nothing."""

import re
from decimal import Decimal
from urllib.parse import urlencode

import pytest
from django.utils import timezone

from shop.orders.models import Cancellation, Order, OrderLine
from shop.planning.inputs import read_shop
from shop.planning.models import Choice
from tests.factories.orders import make_line, make_supplier
from tests.factories.planning import in_days, make_past, make_waiting_job
from tests.pages import collapsed
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop():
    shop = make_waiting_job()
    make_past(shop.slow, *range(20, 140, 5))
    shop.prompt = make_supplier(name="Prompt Parts", contact="Lena")
    make_past(shop.prompt, *[0] * 24)
    return shop


def address(shop, **changes):
    asked = {"other": shop.prompt.pk, "lead_days": 7, "price": "210.00", "restocking": "", "deposit_lost": "20"}
    return f"/planning/line/{shop.line.pk}/?{urlencode({**asked, **changes})}"


def decide(client, shop, chosen, reason="the customer needs it for the show", **changes):
    return client.post(address(shop, **changes), sent(chosen=chosen, reason=reason))


def test_both_ways_stand_side_by_side_with_their_grounds(buyer, shop):
    page = collapsed(buyer.get(address(shop)))
    assert "Wait for Slow Foundry" in page
    assert "Buy from Prompt Parts" in page
    assert "at 80 % sure the job is done" in page
    assert "sooner, at" in page
    assert "50.00" in page, "30 dearer and 20 of deposit lost"
    assert "From 24 arrived" in page
    assert "Assumptions" in page


def test_a_blocked_bay_costs_what_was_given_and_nothing_is_said_where_nothing_was(buyer, shop):
    unknown = collapsed(buyer.get(address(shop)))
    assert unknown.count("not known: a day's cost is not given") == 2
    known = collapsed(buyer.get(address(shop, bay_cost="40")))
    said = re.findall(r'With the blocked bay">[^0-9<]*([0-9.,]+)', known)
    costs = [float(words.replace(",", "")) for words in said]
    days = [float(words) for words in re.findall(r'Expected days">([0-9]+)', unknown)]
    # By hand: 40 a day for the expected days (rounded on the page), and 50 more for buying.
    assert costs == [pytest.approx(40 * days[0], abs=21), pytest.approx(40 * days[1] + 50, abs=21)]


def test_keeping_waiting_is_kept_with_its_reason_and_the_figures(buyer, people, shop):
    decide(buyer, shop, "wait", "they load it on Friday")
    choice = Choice.objects.get()
    assert (str(choice), choice.reason, choice.person) == ("keep waiting", "they load it on Friday", people["buyer"])
    assert choice.figures["elsewhere"]["extra_cost"] == "50.00"
    assert choice.figures["assumptions"]
    assert "they load it on Friday" in collapsed(buyer.get(f"/planning/line/{shop.line.pk}/"))


def test_switching_orders_there_cancels_here_and_moves_the_forecast(buyer, shop):
    before = read_shop(timezone.localdate()).forecast.finishes[shop.job.pk]
    response = decide(buyer, shop, "buy")
    bought = Order.objects.get(supplier=shop.prompt, lines__part_need=shop.need)
    assert response.url == f"/orders/{bought.pk}/"
    line = bought.lines.get()
    assert (line.text, line.quantity, line.price) == ("clutch kit", 1, Decimal("210.00"))
    assert line.promises.get().latest == in_days(7)
    assert "the customer needs it for the show" in Cancellation.objects.get(line=shop.line).reason
    assert OrderLine.objects.get(pk=shop.line.pk).left == 0
    after = read_shop(timezone.localdate()).forecast.finishes[shop.job.pk]
    assert after.p80 < before.p80
    assert Choice.objects.get().bought == bought


def test_pressed_twice_it_is_bought_once(buyer, shop):
    form = sent(chosen="buy", reason="the show")
    first, second = (buyer.post(address(shop), form) for _ in range(2))
    assert first.url == second.url
    assert Choice.objects.count() == 1


def test_the_letters_for_both_are_drafted(buyer, shop):
    decide(buyer, shop, "buy")
    bought = Choice.objects.get().bought
    order = collapsed(buyer.get(f"/orders/{bought.pk}/letter/?about=order"))
    assert "Dear Lena" in order
    assert re.search(r"clutch kit\W.{0,40}EUR 210\.00", order)
    cancelled = collapsed(buyer.get(f"/orders/{shop.line.order_id}/letter/?about=cancellation"))
    assert "We cancel the parts below from our order" in cancelled
    # The decision leads to both.
    page = collapsed(buyer.get(f"/planning/line/{shop.line.pk}/"))
    assert f'href="/orders/{bought.pk}/letter/?about=order"' in page
    assert f'href="/orders/{shop.line.order_id}/letter/?about=cancellation"' in page


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"lead_days": "-1"}, "lead_days"), ({"lead_days": "soon"}, "lead_days"), ({"lead_days": "9999"}, "lead_days"),
     ({"price": "-5"}, "price"), ({"other": "0"}, "other"), ({"deposit_lost": "x"}, "deposit_lost")],
)  # fmt: skip
def test_what_cannot_be_is_refused_beside_its_field(buyer, shop, changes, field):
    page = collapsed(buyer.get(address(shop, **changes)))
    assert fault(page, field)
    assert "<title>Error: " in page
    assert "Side by side" not in page


def test_the_supplier_it_is_ordered_from_is_no_alternative(buyer, shop):
    assert fault(collapsed(buyer.get(address(shop, other=shop.slow.pk))), "other")


def test_a_decision_needs_a_reason(buyer, shop):
    page = collapsed(decide(buyer, shop, "buy", reason=" "))
    assert fault(page, "reason")
    assert not Choice.objects.exists()


def test_a_line_for_the_shelf_holds_no_job(buyer, shop):
    shop.line = make_line(order=shop.line.order, promised=in_days(-10))
    assert "no job waits" in collapsed(buyer.get(address(shop)))


def test_the_fitter_may_not(fitter, shop):
    assert fitter.get(address(shop)).status_code == 403


def test_a_line_that_is_all_here_is_neither_waited_for_nor_bought_elsewhere(buyer, people, shop):
    came = make_line(order=shop.line.order, text="spacer", came=in_days(-1))
    page = collapsed(buyer.get(f"/planning/line/{came.pk}/"))
    assert "Nothing of this line is still to come." in page
    assert "Compare" not in page
    assert re.search(r"Still to come</dt>\s*<dd>\s*nothing\s*</dd>", page)
    assert "EUR 0.00" not in page
    for chosen in ("wait", "buy"):
        answer = buyer.post(address(shop).replace(f"/{shop.line.pk}/", f"/{came.pk}/"), sent(chosen=chosen, reason="x"))
        assert "Nothing of this line is still to come." in collapsed(answer)
    assert not Choice.objects.exists()

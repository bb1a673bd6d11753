"""The buyer's morning: sees whose vehicle each late line holds, chases one, switches another; the forecast moves.

And the fitter's: finds on a phone a step that does not have to wait, starts and finishes it.
"""

import os
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shop.orders.models import Chase, Mail, OrderLine
from shop.planning.models import Choice
from tests.browser.conftest import PHONE
from tests.factories.orders import make_chase, make_promise, make_supplier
from tests.factories.planning import in_days, make_past, make_waiting_job

pytestmark = pytest.mark.browser


@pytest.fixture(autouse=True, scope="module")
def statistics_at_hand():
    """The library of statistics takes seconds to come in; a page that is first to need it would be timed with it."""
    import scipy.stats

    return scipy.stats


Open = Callable[..., Page]
Errors = Callable[..., list[str]]
Shoot = Callable[[Page, str], None]


def make_shop():
    """Two vehicles that wait for late clutches of one slow supplier, and a prompt one to buy from."""
    van = make_waiting_job()
    make_past(van.slow, *range(20, 140, 5))
    car = make_waiting_job(slow=van.slow, model="Fell")
    prompt = make_supplier(name="Prompt Parts")
    make_past(prompt, *[0] * 24)
    return van, car, prompt


def p80(page: Page, vehicle: str) -> str:
    return page.get_by_role("row", name=vehicle).first.get_by_role("cell").nth(1).inner_text()


@pytest.mark.parametrize("scripts", [True, False])
def test_the_buyer_chases_one_and_switches_another(workers, open_page: Open, shoot: Shoot, scripts: bool) -> None:
    van, car, prompt = make_shop()
    before = {name: p80(open_page("/planning/forecast/", role="buyer"), name) for name in ("Tarn", "Fell")}
    page = open_page("/planning/late/", role="buyer", scripts=scripts)
    expect(page.get_by_role("row", name="clutch kit")).to_have_count(2)
    expect(page.get_by_text("Tarn (KX 471-B): “Mount the gearbox”").first).to_be_visible()
    shoot(page, "late")

    page.goto(page.url.replace("/planning/late/", f"/orders/{van.line.order_id}/"))
    page.get_by_role("link", name="Chase by mail").click()
    expect(page.get_by_label("Text")).to_contain_text("a vehicle here waits for it")
    shoot(page, "letter")
    page.get_by_role("button", name="Send or print").click()
    expect(page.get_by_text("no answer yet")).to_be_visible()
    assert Chase.objects.get().how == "mail"
    assert Mail.objects.get().state == Mail.SENT

    page.goto(page.url.replace(f"/orders/{van.line.order_id}/", f"/orders/{car.line.order_id}/"))
    page.get_by_role("link", name="Wait or buy elsewhere").click()
    page.get_by_label("Buy from").select_option("Prompt Parts")
    page.get_by_label("Its stated lead time, days").fill("7")
    page.get_by_role("button", name="Compare").click()
    expect(page.get_by_text("the job is done").first).to_be_visible()
    shoot(page, "choice")
    page.get_by_label("order from Prompt Parts and cancel here").check()
    page.get_by_label("Why").fill("the show is in March")
    page.get_by_role("button", name="Record decision").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Order")
    assert Choice.objects.get().bought.supplier == prompt
    assert OrderLine.objects.get(pk=car.line.pk).left == 0

    make_promise(line=van.line, latest=in_days(200), given_on=in_days(0), words="the answer")
    after = open_page("/planning/forecast/", role="buyer")
    shoot(after, "forecast")
    assert p80(after, "Fell") != before["Fell"], "bought elsewhere"
    assert p80(after, "Tarn") != before["Tarn"], "put off by what the supplier answered"


@pytest.mark.parametrize("scripts", [True, False])
def test_the_fitter_finds_a_step_that_does_not_wait(workers, open_page: Open, shoot: Shoot, scripts: bool) -> None:
    make_shop()
    page = open_page("/planning/ready/", role="fitter", size=PHONE, scripts=scripts)
    expect(page.get_by_text("Without the part, now:").first).to_be_visible()
    shoot(page, "ready-phone")
    button = page.get_by_role("button", name="Start Lamps").first
    assert button.bounding_box()["height"] >= 44
    button.click()
    page.get_by_role("button", name="Finish", exact=True).click()
    expect(page.get_by_text("Finished by").first).to_be_visible()


def test_no_page_has_an_accessibility_fault_or_runs_over(workers, open_page: Open, faults_of: Errors) -> None:
    van, _, prompt = make_shop()
    make_chase(order=van.line.order, answer="soon", answered_on=in_days(-1), ask_again_on=in_days(0))
    choice = f"/planning/line/{van.line.pk}/?other={prompt.pk}&lead_days=7&price=200"
    order = f"/orders/{van.line.order_id}/"
    addresses = ["/orders/", "/planning/late/", order, f"{order}promise/", f"{order}delivery/", f"{order}letter/"]
    addresses += [f"/orders/suppliers/{van.slow.pk}/", "/orders/new/", "/orders/import/", "/orders/mail/"]
    addresses += ["/planning/ready/", "/planning/forecast/", choice, "/planning/notices/"]
    page = open_page(addresses[0], role="owner")
    for address in addresses[:: 2 if os.environ.get("CI") == "true" else 1]:
        page.goto(address)
        assert faults_of(page, address.strip("/").replace("/", "-")) == [], address

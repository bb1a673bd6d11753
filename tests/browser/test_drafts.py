"""What was typed when the network went away: kept in the browser, offered, never put in unasked."""

import json
from collections.abc import Callable

import pytest
from playwright.sync_api import Error, Page, expect

from shop.jobs.models import SignOff, TimeEntry
from shop.vehicles.models import Customer
from tests.browser.conftest import PHONE, session_of
from tests.factories.jobs import make_begun_step, make_step
from tests.factories.vehicles import make_customer

Open = Callable[..., Page]
NEW = "/vehicles/customers/new/"
KEPT = "Object.keys(localStorage).filter(key => key.startsWith('draft '))"


def offer_on(page: Page):
    return page.get_by_role("status").filter(has_text="You typed here at")


def act_as(page: Page, person, url: str) -> None:
    page.context.clear_cookies()
    page.context.add_cookies([session_of(person, url)])


def lose_at_save(page: Page) -> None:
    lose(page, "Save")


def lose(page: Page, button: str) -> None:
    """Press a button while the network is gone."""
    page.context.set_offline(True)
    with pytest.raises(Error, match="INTERNET_DISCONNECTED"), page.expect_navigation(timeout=5_000):
        page.get_by_role("button", name=button).click()
    page.context.set_offline(False)


def test_what_the_network_lost_is_offered_brought_back_saved_and_gone(open_page: Open, violations, shoot) -> None:
    page = open_page(NEW, role="owner", size=PHONE)
    page.get_by_label("Name", exact=True).fill("Oduya Haulage")
    page.get_by_label("Notes").fill("two lines\nof notes")
    lose_at_save(page)
    page.goto("/vehicles/customers/")  # a page that comes after is no sign that anything was saved
    page.goto(NEW)
    expect(offer_on(page)).to_contain_text("sent it, and no answer came")
    expect(page.get_by_label("Name", exact=True)).to_have_value("")
    shoot(page, "draft-offered")
    assert violations(page) == []
    back = page.get_by_role("button", name="Bring it back")
    back.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Oduya Haulage")
    expect(page.get_by_label("Notes")).to_have_value("two lines\nof notes")
    expect(page.get_by_label("Name", exact=True)).to_be_focused()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Oduya Haulage")
    page.wait_for_load_state()  # the heading is there before the script ran
    assert page.evaluate(KEPT) == []
    page.goto(NEW)
    expect(offer_on(page)).to_have_count(0)
    assert Customer.objects.count() == 1


def test_a_form_refused_keeps_its_draft_and_offers_nothing_it_already_shows(open_page: Open) -> None:
    page = open_page(NEW, role="owner")
    page.get_by_label("Notes").fill("no name yet")
    page.get_by_role("button", name="Save").click()
    expect(page).to_have_title("Error: Add customer")
    expect(offer_on(page)).to_have_count(0)
    assert len(page.evaluate(KEPT)) == 1
    page.goto(NEW)
    page.get_by_role("button", name="Throw it away").click()
    expect(page.get_by_role("status").filter(has_text="Thrown away.")).to_be_focused()
    assert page.evaluate(KEPT) == []


def test_nobody_else_sees_it_and_signing_out_takes_it_away(open_page: Open, workers, live_server) -> None:
    page = open_page(NEW, role="owner")
    page.get_by_label("Name", exact=True).fill("Oduya Haulage")
    act_as(page, workers["buyer"], live_server.url)
    page.goto("/orders/suppliers/new/")
    page.get_by_label("Name", exact=True).fill("Of the buyer")
    page.goto(NEW)
    assert "Oduya" not in page.content()
    expect(offer_on(page)).to_have_count(0)
    act_as(page, workers["owner"], live_server.url)
    page.goto(NEW)
    expect(offer_on(page)).to_contain_text("did not save")
    page.locator(".you > summary").click()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    left = page.evaluate(KEPT)
    assert [key.split()[1] for key in left] == [str(workers["buyer"].pk)]


def test_a_signature_is_asked_again_and_a_start_is_never_sent_by_itself(open_page: Open, shoot) -> None:
    step, waiting = make_begun_step(), make_step()
    page = open_page(f"/jobs/steps/{step.pk}/check/", role="fitter", size=PHONE)
    page.get_by_label("What was checked").fill("run-out")
    page.get_by_label("What was found").fill("0.08 mm")
    page.get_by_label("it passes", exact=True).check()
    lose(page, "Sign this check")
    page.goto(f"/jobs/steps/{waiting.pk}/")
    lose(page, "Start")
    page.goto(f"/jobs/steps/{step.pk}/check/")
    assert not SignOff.objects.exists()
    assert not TimeEntry.objects.filter(step=waiting).exists()
    page.get_by_role("button", name="Bring it back").click()
    expect(page.get_by_label("What was found")).to_have_value("0.08 mm")
    expect(page.get_by_label("it passes", exact=True)).not_to_be_checked()
    expect(page.get_by_role("status").filter(has_text="nothing is recorded")).to_be_visible()
    shoot(page, "draft-of-a-signature")
    page.get_by_label("it passes", exact=True).check()
    page.get_by_label("With which gauge").fill("dial gauge 2")
    page.get_by_role("button", name="Sign this check").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(str(step))
    page.wait_for_load_state()
    assert SignOff.objects.get().result == "0.08 mm"
    assert page.evaluate(KEPT) == []


def test_a_pasted_sheet_is_kept_until_its_import_is_complete(open_page: Open) -> None:
    page = open_page("/orders/import/", role="buyer")
    sheet = "supplier,reference,ordered_on,part,quantity,price\nNuvo,R-1,2026-01-05,part,1,9"
    page.get_by_label("paste").fill(sheet)
    lose(page, "Check the file")
    page.goto("/orders/import/")
    page.get_by_role("button", name="Bring it back").click()
    expect(page.get_by_label("paste")).to_have_value(sheet)
    page.get_by_role("button", name="Check the file").click()
    page.get_by_role("button", name="Import orders").click()
    page.wait_for_url("**/work/**")
    assert page.evaluate(KEPT) == []


def test_after_a_day_it_is_gone(open_page: Open) -> None:
    page = open_page(NEW, role="owner")
    page.get_by_label("Name", exact=True).fill("Oduya Haulage")
    page.evaluate(
        f"{KEPT}.forEach(key => {{const kept = JSON.parse(localStorage[key]); kept.at -= 24 * 3600 * 1000 + 1;"
        "localStorage[key] = JSON.stringify(kept)})"
    )
    page.goto(NEW)
    expect(offer_on(page)).to_have_count(0)
    assert page.evaluate(KEPT) == []


def test_what_somebody_saved_since_is_never_written_over_unseen(open_page: Open) -> None:
    customer = make_customer(name="Oduya", phone="1")
    page = open_page(f"/vehicles/customers/{customer.pk}/edit/", role="owner")
    page.get_by_label("Phone").fill("2")
    customer.phone = "3"
    customer.save()
    page.reload()
    expect(offer_on(page)).to_contain_text("Somebody saved this since")
    page.get_by_role("button", name="Bring it back").click()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert").first).to_contain_text("Yours: 2")
    customer.refresh_from_db()
    assert customer.phone == "3"


def test_passwords_and_hidden_fields_are_never_kept(open_page: Open) -> None:
    page = open_page("/people/new/", role="owner")
    page.locator("form[data-draft] input[type=text]").first.fill("newcomer")
    for field in page.locator("form[data-draft] input[type=password]").all():
        field.fill("a secret of theirs")
    kept = page.evaluate(f"{KEPT}.map(key => localStorage[key])")
    assert len(kept) == 1
    assert "secret" not in kept[0]
    assert not {"once", "csrfmiddlewaretoken"} & set(json.loads(kept[0])["fields"])

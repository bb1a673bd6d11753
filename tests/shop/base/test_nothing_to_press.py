"""A page that cannot do its act says so before anything is typed and has nothing to press; its verb refuses too."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.jobs.models import StepNeed
from shop.orders.models import Cancellation
from tests.factories.jobs import make_job, make_job_torque, make_step, make_step_need
from tests.factories.measuring import make_torque_spec
from tests.factories.orders import make_delivery, make_line, make_order
from tests.factories.payables import make_invoice
from tests.factories.stock import make_part
from tests.factories.vehicles import make_vehicle
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed, send, words_of

pytestmark = pytest.mark.django_db


def offers(client, address: str) -> bool:
    """Whether the main part of a page has a button that sends something."""
    page = collapsed(client.get(address))
    return "<button" in page.partition("<main")[2].partition("</main>")[0]


def refused(client, address: str, words: str, **typed: str) -> None:
    """The page says why not and offers nothing; whoever sends its form all the same is told, and keeps the words."""
    assert words in words_of(client.get(address))
    assert not offers(client, address)
    told = send(client, address, **typed)
    assert "to put right" in told
    assert all(value in told for value in typed.values())


def test_a_vehicle_with_a_job_and_its_customer_are_not_deleted_from_their_pages(owner):
    job = make_job()
    refused(owner, f"/vehicles/{job.vehicle_id}/delete/", "That must go first.", reason="sold last spring")
    customer = job.vehicle.customer_id
    refused(owner, f"/vehicles/customers/{customer}/delete/", "That must go first.", reason="moved away")
    assert offers(owner, f"/vehicles/{make_vehicle().pk}/delete/")


def test_a_torque_of_which_there_is_no_figure_is_not_accepted(owner):
    torque = make_job_torque(torque_spec=make_torque_spec(thread="M12"))
    refused(owner, f"/jobs/torques/{torque.pk}/doubt/", "do not tighten", reason="it looks right")


def test_nobody_goes_on_over_what_is_open_in_a_guarded_step(owner):
    step = make_step(hazard="lifts")
    make_step_need(step, before := make_step(job=step.job, title="Trial fit"))
    words = "In this step the vehicle, engine or gearbox is lifted. It cannot start while this is open:"
    refused(owner, f"/jobs/steps/{step.pk}/go-on/", words, go_on_because="the lift is booked")
    assert before.title in words_of(owner.get(f"/jobs/steps/{step.pk}/go-on/"))


def test_pieces_that_are_all_here_are_not_cancelled_and_none_are_sent_back_that_never_came(buyer):
    here, awaited = make_line(), make_line()
    make_delivery(line=here, quantity=here.quantity)
    today = timezone.localdate().isoformat()
    typed = {"quantity": "1", "reason": "bought elsewhere"}
    refused(buyer, f"/orders/line/{here.pk}/cancel/", "Nothing of this line is still to come.", **typed, on=today)
    refused(buyer, f"/orders/line/{awaited.pk}/return/", "Nothing of this line is here.", **typed, on=today)
    assert offers(buyer, f"/orders/line/{awaited.pk}/cancel/")
    assert offers(buyer, f"/orders/line/{here.pk}/return/")


def test_nothing_is_taken_moved_or_reserved_that_the_record_has_not(buyer):
    part = make_part(shelf=0)
    for act in ("take", "move", "reserve"):
        assert not offers(buyer, f"/stock/{part.pk}/{act}/"), act
        assert f'href="/stock/{part.pk}/{act}/"' not in collapsed(buyer.get(f"/orders/parts/{part.pk}/"))
    full = make_part(shelf=3)
    for act in ("take", "move", "reserve"):
        assert offers(buyer, f"/stock/{full.pk}/{act}/"), act
        assert f'href="/stock/{full.pk}/{act}/"' in collapsed(buyer.get(f"/orders/parts/{full.pk}/"))


def test_an_invoice_is_paid_deleted_or_changed_once(buyer):
    today = timezone.localdate()
    line = make_line(price=Decimal(10), order=make_order(ordered_on=today - timedelta(days=9)))
    paid = make_invoice(make_delivery(line=line, on=today), paid_on=today, paid=Decimal(12))
    for act, words in (("pay", "It is marked as paid."), ("delete", "take the payment back first")):
        assert words in words_of(buyer.get(f"/payables/{paid.pk}/{act}/"))
        assert not offers(buyer, f"/payables/{paid.pk}/{act}/"), act
    assert buyer.get(f"/payables/{paid.pk}/edit/").url == paid.get_absolute_url()
    assert offers(buyer, f"/payables/{paid.pk}/unpay/")


def test_what_a_step_waits_for_is_not_deleted_from_its_page(owner):
    first, second = make_step(), make_step()
    make_step_need(second, first)
    refused(owner, f"/jobs/steps/{first.pk}/delete/", "That must go first.", reason="not needed")
    assert offers(owner, f"/jobs/steps/{second.pk}/delete/")


def test_a_part_that_lies_on_the_shelf_is_not_deleted_from_its_page(buyer):
    part = make_part(shelf=3)
    refused(buyer, f"/orders/parts/{part.pk}/delete/", "to be counted away first: 3.", reason="not bought any more")
    assert offers(buyer, f"/orders/parts/{make_part().pk}/delete/")


def test_a_worksheet_that_a_step_waits_for_stays_with_its_job(owner):
    sheet, step = make_worksheet(), make_step()
    step.job.worksheets.add(sheet)
    address = f"/jobs/{step.job_id}/worksheets/{sheet.pk}/remove/"
    assert offers(owner, address)
    StepNeed.objects.create(step=step, worksheet=sheet)
    refused(owner, address, "waits for this worksheet", reason="not needed")


def test_money_that_is_not_owed_does_not_come(buyer):
    line, today = make_line(quantity=Decimal(3), price=Decimal(10)), timezone.localdate()
    gone = {"line": line, "on": today, "quantity": 1, "reason": "not needed", "recorded_by": line.order.ordered_by}
    free, owed = Cancellation.objects.create(**gone), Cancellation.objects.create(**gone, money_back=Decimal(5))
    address = f"/orders/cancellation/{free.pk}/money/"
    refused(buyer, address, "No money is owed for this any more.", on=today.isoformat())
    page = words_of(buyer.get(f"/orders/cancellation/{owed.pk}/money/"))
    assert "5.00 is owed." in page

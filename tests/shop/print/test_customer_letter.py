"""Letters to a job's customer: drafted from the record, edited by a person, kept as sent; never readier than it is."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.orders.models import Mail
from shop.print.models import CustomerLetter, PrintIsKept
from tests.factories.jobs import make_job, make_part_need, make_step
from tests.factories.orders import make_line, make_order, make_promise
from tests.factories.people import make_person
from tests.factories.print import make_customer_letter
from tests.factories.vehicles import make_customer, make_vehicle
from tests.pages import collapsed, once, press
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    customer = make_customer(name="Ottoline Brask", email="brask@customer.example", address="3 Fen Lane\nLinnet Bridge")
    return make_job(vehicle=make_vehicle(customer=customer), title="New gearbox")


def late_part(job):
    today = timezone.localdate()
    job.wanted_by = today + timedelta(days=1)
    job.save()
    need = make_part_need(step=make_step(job=job, title="Fit the flywheel"), text="flywheel blank")
    order = make_order(ordered_on=today - timedelta(days=60))
    line = make_line(order=order, part_need=need, text="flywheel blank")
    make_promise(line=line, latest=today - timedelta(days=20))
    make_promise(line=line, latest=today - timedelta(days=9))
    return line


def address(job, about):
    return f"/print/customer-letter/new/{job.pk}/?about={about}"


def finish(job):
    for step in job.steps.all():
        step.finished_at, step.finished_by = timezone.now(), make_person(roles=["fitter"])
        step.save()


def test_a_delay_is_drafted_with_what_is_waited_for_and_names_no_supplier_and_no_price(buyer, job):
    line = late_part(job)
    page = collapsed(buyer.get(address(job, "delay")))
    assert "Dear Ottoline Brask," in page
    assert "flywheel blank | " in page
    assert "you wanted it by" in page
    assert "Please tell us if you need the vehicle on a certain day" in page
    body = page[page.index("Dear Ottoline") : page.index("Kind regards")]
    assert line.order.supplier.name not in body
    assert "£" not in body


def test_it_is_kept_as_sent_and_mail_and_paper_say_the_same_words(buyer, job):
    late_part(job)
    body = "Dear Ottoline Brask,\n\nIt takes longer, we are sorry.\n\nKind regards,\n\nWren"
    sent = {"way": "mail", "to": "brask@customer.example", "subject": "Later than planned", "body": body}
    landed = press(buyer, address(job, "delay"), **sent).url
    kept, mail = CustomerLetter.objects.get(), Mail.objects.get()
    assert kept.body == mail.body == body
    assert (mail.to, mail.subject) == ("brask@customer.example", kept.subject)
    said = text_of(buyer.get(landed).content)
    for words in ("Ottoline Brask 3 Fen Lane", "It takes longer, we are sorry.", "Later than planned", "New gearbox"):
        assert words in said
    job.vehicle.customer.address = "elsewhere"
    job.vehicle.customer.save()
    assert "3 Fen Lane" in text_of(buyer.get(f"{landed}?paper=Letter").content)
    assert "Later than planned" in collapsed(buyer.get(job.get_absolute_url()))


def test_nobody_is_told_that_a_vehicle_is_ready_while_the_job_is_open(buyer, job):
    make_step(job=job, title="Road test")
    assert buyer.get(address(job, "ready")).status_code == 302
    page = collapsed(buyer.get(job.get_absolute_url()))
    assert "nobody is told that the vehicle is ready" in page
    refused = buyer.post(address(job, "ready"), {**once(), "way": "letter", "subject": "Ready", "body": "It is ready."})
    assert "is not done" in collapsed(refused)
    assert "It is ready." in collapsed(refused)
    assert not CustomerLetter.objects.exists()


def test_a_job_that_is_done_may_be_told_ready_with_what_was_done_and_the_usual_cautions(buyer, job):
    make_step(job=job, title="Fit the gearbox")
    finish(job)
    page = collapsed(buyer.get(address(job, "ready")))
    assert "Fit the gearbox | done" in page
    assert "wheel nuts tightened again" in page
    assert "local rules decide" in page
    assert buyer.get(address(job, "delay")).status_code == 302


def test_a_vehicle_is_not_ready_while_another_job_of_it_is_open(buyer, job):
    make_step(job=job, title="Fit the gearbox")
    finish(job)
    brakes = make_job(vehicle=job.vehicle, title="New brake hoses")
    make_step(job=brakes, title="Bleed the brakes")
    assert buyer.get(address(job, "ready")).status_code == 302
    assert "New brake hoses" in (said := collapsed(buyer.get(job.get_absolute_url())))
    assert "nobody is told that the vehicle is ready" in said
    finish(brakes)
    assert buyer.get(address(job, "ready")).status_code == 200


def test_a_job_in_time_has_no_delay_to_tell_of(buyer, job):
    make_step(job=job, title="Short")
    job.wanted_by = timezone.localdate() + timedelta(days=300)
    job.save()
    assert buyer.get(address(job, "delay")).status_code == 302
    assert "there is no delay to tell of" in collapsed(buyer.get(job.get_absolute_url()))


def test_what_was_written_is_neither_changed_nor_deleted(job):
    letter = make_customer_letter(job)
    letter.body = "other"
    for act in (letter.save, letter.delete, CustomerLetter.objects.all().delete):
        with pytest.raises(PrintIsKept):
            act()

"""The first page leads whoever stands at the mill to the set-up sheets, and says whether the plate may be cut."""

import pytest
from django.test import Client
from django.utils import timezone

from shop.jobs.changes.steps import add_worksheet_need
from shop.jobs.models import Job
from specs.models import HolePattern
from tests.factories.jobs import make_job, make_step
from tests.factories.people import make_person
from tests.factories.plate import accept, make_plate
from tests.pages import collapsed, words_of

pytestmark = pytest.mark.django_db


def job_with_plate(**changes: object) -> tuple[Job, int]:
    """A job whose machinist makes a plate, which the step waits for; and the key of the plate's worksheet."""
    step = make_step(title="Make the plate", role="machinist", job=make_job())
    plate = make_plate(**changes)
    add_worksheet_need(step=step, worksheet=plate, person=make_person(roles=["owner"]))
    return step.job, plate.pk


def test_the_row_of_the_step_leads_to_the_sheet_to_print_and_the_sheet_prints(machinist: Client) -> None:
    job, plate = job_with_plate()
    accept(job.worksheets.get())
    page = collapsed(machinist.get("/"))
    to = f"/print/new/plate-setup/{plate}/"
    assert page.count(f'href="{to}"') == 2, "the name, which a thumb meets, and the button"
    assert "Adapter plate Orvane V6 to Teskel QZ-5" in page
    assert "Make the plate · " in page
    assert "may be cut" in page
    assert "Do not cut yet" not in words_of(machinist.get(to))


def test_a_plate_that_is_not_accepted_is_not_to_be_cut_yet(machinist: Client) -> None:
    _, plate = job_with_plate()
    page = collapsed(machinist.get("/"))
    assert "do not cut yet" in page
    assert "may be cut" not in page
    assert f'href="/print/new/plate-setup/{plate}/"' in page
    assert f'href="/worksheets/{plate}/">Review' in page, "what is to be done first"
    assert "Do not cut yet" in words_of(machinist.get(f"/print/new/plate-setup/{plate}/"))


def test_a_plate_whose_bolt_nobody_named_leads_to_its_worksheet_and_to_no_sheet(machinist: Client) -> None:
    _, plate = job_with_plate()
    gearbox = HolePattern.objects.get(component__name="QZ-5")
    hole = gearbox.holes.get(name="B1")
    hole.bolt = ""
    hole.save()
    page = collapsed(machinist.get("/"))
    assert "cannot be printed" in page
    assert "/print/new/plate-setup/" not in page
    assert f'href="/worksheets/{plate}/"' in page


def test_the_step_itself_leads_there_too(machinist: Client) -> None:
    job, plate = job_with_plate()
    step = job.steps.get()
    assert f'href="/print/new/plate-setup/{plate}/"' in collapsed(machinist.get(step.get_absolute_url()))


def test_a_plate_leaves_the_page_with_the_last_step_of_its_job_and_is_nobody_elses(
    machinist: Client, fitter: Client
) -> None:
    job, _ = job_with_plate()
    accept(job.worksheets.get())
    assert "Plates" not in words_of(fitter.get("/"))
    assert "may be cut" in words_of(machinist.get("/"))
    step = job.steps.get()
    step.finished_at, step.finished_by = timezone.now(), make_person()
    step.save()
    assert "may be cut" not in words_of(machinist.get("/"))

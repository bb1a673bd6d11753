"""Pages of a worksheet."""

import pytest
from django.utils import timezone

from shop.jobs.models import GuardChange
from shop.worksheets.changes import delete_worksheet
from tests.factories.jobs import make_job, make_step
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed, once, send

pytestmark = pytest.mark.django_db


def test_a_worksheet_is_added_and_stands_with_how_it_stands(fitter):
    job, sheet = make_job(), make_worksheet(title="Plate bolts")
    page = send(fitter, f"/jobs/{job.pk}/worksheets/new/", worksheet=sheet.pk)
    assert sheet.get_absolute_url() in page
    assert "not accepted yet" in page
    again = collapsed(fitter.get(f"/jobs/{job.pk}/worksheets/new/"))
    assert "Plate bolts" not in again, "what the job rests on already is not offered again"


def test_a_job_without_worksheets_leads_to_adding_one(fitter):
    job = make_job()
    page = collapsed(fitter.get(job.get_absolute_url()))
    assert "No worksheet yet. Add those this job depends on" in page
    assert f'href="/jobs/{job.pk}/worksheets/new/">Add worksheet</a>' in page
    asked = collapsed(fitter.get(f"/jobs/{job.pk}/worksheets/new/"))
    assert "No worksheet is on record that is not here." in asked
    assert '<a href="/worksheets/new/">Add a new worksheet, then come back here</a>' in asked


@pytest.mark.parametrize(
    "address",
    [
        "/jobs/{job}/set-aside/new/",
        "/jobs/{job}/torques/new/",
        "/jobs/{job}/worksheets/new/",
        "/jobs/{job}/decisions/new/",
    ],
)
def test_the_buyer_is_told_who_may(buyer, address):
    job = make_job()
    assert buyer.get(address.format(job=job.pk)).status_code == 403
    assert buyer.post(address.format(job=job.pk), once()).status_code == 403


def deleted_from(job, person):
    sheet = make_worksheet(title="Plate bolts")
    job.worksheets.add(sheet)
    delete_worksheet(sheet, person=person, reason="wrong bolts", now=timezone.now())
    return sheet


def test_the_owner_removes_a_deleted_worksheet_with_a_reason_that_is_kept(owner, people):
    job = make_job()
    sheet = deleted_from(job, people["owner"])
    address = f"/jobs/{job.pk}/worksheets/{sheet.pk}/remove/"
    page = collapsed(owner.get(job.get_absolute_url()))
    assert address in page
    assert "wrong bolts" in page
    assert 'id="id_reason_error"' in send(owner, address, reason=" ")
    send(owner, address, reason="the new worksheet stands in its place")
    assert not job.worksheets.exists()
    kept = GuardChange.objects.get(job=job)
    assert "Plate bolts" in kept.what
    assert kept.reason == "the new worksheet stands in its place"


def test_a_worksheet_that_a_step_waits_for_is_not_removed(owner, people):
    step = make_step()
    sheet = deleted_from(step.job, people["owner"])
    step.needs.create(worksheet=sheet)
    said = send(owner, f"/jobs/{step.job_id}/worksheets/{sheet.pk}/remove/", reason="not wanted")
    assert "waits for this worksheet" in said
    assert step.job.worksheets.exists()


def test_the_fitter_sees_it_and_may_not_remove_it(fitter, people):
    job = make_job()
    sheet = deleted_from(job, people["owner"])
    address = f"/jobs/{job.pk}/worksheets/{sheet.pk}/remove/"
    assert address not in collapsed(fitter.get(job.get_absolute_url()))
    assert fitter.get(address).status_code == 403

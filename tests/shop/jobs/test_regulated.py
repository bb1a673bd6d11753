"""Licensed approval, and the evidence that one passed it."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.approvals import approve, delete_approval, flag_regulated, override_regulated
from shop.jobs.changes.work import start
from shop.jobs.models import RegulatedItem
from tests.factories.jobs import (
    make_begun_step,
    make_job,
    make_regulated_item,
    make_step,
    make_time_entry,
)
from tests.pages import collapsed, press, send

pytestmark = pytest.mark.django_db


TODAY = date(2026, 3, 2)


EVIDENCE = {
    "licensed_person": "R. Veld",
    "licence": "ST-119",
    "valid_until": date(2027, 12, 31),
    "evidence": "certificate 40, blue folder",
}


def open_items(job):
    return job.regulated_items.active().with_approval().filter(approval_count=0)


def test_an_item_stays_open_until_the_evidence_is_recorded(people):
    job = make_job()
    make_time_entry(step=make_step(job=job), day=TODAY)
    item = flag_regulated(job=job, step=None, touches="brakes", what="pedal box", person=people["fitter"])
    assert list(open_items(job)) == [item]
    approval = approve(item, **EVIDENCE, passed_on=TODAY, person=people["owner"], today=TODAY)
    assert not open_items(job).exists()
    delete_approval(approval, person=people["owner"], reason="line moved since", now=timezone.now())
    assert list(open_items(job)) == [item]


def test_an_unknown_subject_is_refused(people):
    with pytest.raises(ValidationError, match="Choose one of: brakes, steering"):
        flag_regulated(job=make_job(), step=None, touches="paint", what="bonnet", person=people["fitter"])
    assert not RegulatedItem.objects.exists()


def test_an_approval_says_who_and_by_which_licence(people):
    item = make_regulated_item()
    make_begun_step(job=item.job)
    for missing in ("licensed_person", "licence", "evidence"):
        with pytest.raises(ValidationError) as refused:
            approve(item, **{**EVIDENCE, missing: " "}, passed_on=TODAY, person=people["owner"], today=TODAY)
        assert missing in refused.value.message_dict
    with pytest.raises(ValidationError, match="has not come yet"):
        approve(item, **EVIDENCE, passed_on=TODAY + timedelta(days=1), person=people["owner"], today=TODAY)


def test_only_the_owner_records_approvals(people):
    with pytest.raises(PermissionDenied):
        approve(make_regulated_item(), **EVIDENCE, passed_on=TODAY, person=people["fitter"], today=TODAY)


def test_a_flag_for_a_step_of_another_job_is_refused(fitter):
    job, elsewhere = make_job(), make_step()
    page = send(fitter, f"/jobs/{job.pk}/regulated/new/", touches="brakes", what="servo moved", step=elsewhere.pk)
    assert 'id="id_step_error"' in page
    assert 'value="servo moved"' in page
    assert not RegulatedItem.objects.exists()


def test_an_approval_typed_by_mistake_is_deleted_and_the_item_is_open_again(owner):
    item = make_regulated_item()
    make_time_entry(step=make_step(job=item.job))
    form = {
        "licensed_person": "R. Veld",
        "licence": "ST-119",
        "valid_until": "2027-12-31",
        "evidence": "certificate 40",
    }
    send(owner, f"/jobs/regulated/{item.pk}/approve/", passed_on=date(2026, 3, 2).isoformat(), **form)
    approval = item.approvals.get()
    send(owner, f"/jobs/approvals/{approval.pk}/delete/", reason="another vehicle's certificate")
    assert "Approved by R. Veld" not in collapsed(owner.get(f"/jobs/{item.job.pk}/"))


def test_the_owner_goes_on_without_approval_by_name_and_reason(owner):
    item = make_regulated_item(what="tunnel opened")
    address = f"/jobs/regulated/{item.pk}/override/"
    page = collapsed(press(owner, address, reason=" "))
    assert 'id="id_reason_error"' in page
    assert press(owner, address, reason="moved inside the yard only").status_code == 302
    assert "moved inside the yard only" in collapsed(owner.get(item.job.get_absolute_url()))


def test_nobody_else_goes_on_without_approval(fitter):
    item = make_regulated_item()
    assert fitter.get(f"/jobs/regulated/{item.pk}/override/").status_code == 403


def test_an_item_of_the_whole_job_is_approved_after_the_last_day_of_work(people):
    item = make_regulated_item()
    make_time_entry(step=make_step(job=item.job))
    make_time_entry(step=make_step(job=item.job), day=TODAY + timedelta(days=3))
    later = TODAY + timedelta(days=5)
    with pytest.raises(ValidationError, match="worked on until 5 Mar 2026"):
        approve(item, **EVIDENCE, passed_on=TODAY + timedelta(days=2), person=people["owner"], today=later)
    last = TODAY + timedelta(days=3)
    assert approve(item, **EVIDENCE, passed_on=last, person=people["owner"], today=later).pk


def test_it_falls_when_work_on_the_job_goes_on_but_not_at_handing_over(people):
    item = make_regulated_item()
    begun = make_begun_step(job=item.job)
    today = timezone.localdate()
    approval = approve(item, **EVIDENCE, passed_on=today, person=people["owner"], today=today)
    start(make_step(job=item.job, hazard="hands over"), person=people["fitter"], now=timezone.now())
    approval.refresh_from_db()
    assert approval.check_again == ""
    start(begun, person=people["machinist"], now=timezone.now())
    approval.refresh_from_db()
    assert "worked on again" in approval.check_again
    assert list(item.job.regulated_items.open()) == [item]


def test_an_override_for_the_whole_job_falls_too(people):
    item = make_regulated_item()
    begun = make_begun_step(job=item.job)
    override_regulated(item, person=people["owner"], reason="a show car on a trailer", now=timezone.now())
    start(begun, person=people["fitter"], now=timezone.now())
    assert list(item.job.regulated_items.open()) == [item]

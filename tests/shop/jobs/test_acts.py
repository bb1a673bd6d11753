"""What is done from a job's page: pieces laid ready, torques and worksheets added, questions, what is regulated."""

from datetime import date
from itertools import count

import pytest
from django.utils import timezone

from shop.jobs.models import Decision, JobTorque, RegulatedItem, SetAside
from shop.vehicles.models import Fitted
from tests.factories.jobs import (
    make_begun_step,
    make_decision,
    make_job,
    make_job_torque,
    make_regulated_item,
    make_step,
)
from tests.factories.measuring import make_component, make_specimen, make_torque_spec
from tests.factories.worksheets import make_worksheet
from tests.pages import text_of

pytestmark = pytest.mark.django_db

_mark = count(1)


def shown(client, job):
    return text_of(client.get(f"/jobs/{job.pk}/"))


def mark():
    """As a form is given one each time it is opened."""
    return {"once": f"a-mark-that-a-form-was-given-{next(_mark):04}"}


def send(client, address, **fields):
    """The page after a form was sent: where it landed, or the form with its faults."""
    return text_of(client.post(address, fields | mark(), follow=True))


def lay_ready(client, job, piece, **fields):
    return send(
        client, f"/jobs/{job.pk}/set-aside/new/", specimen=piece.pk, meant_for="gearbox", lies_in="bench 2", **fields
    )


def test_a_piece_is_laid_ready_then_fitted(fitter):
    job, piece = make_job(), make_specimen(component=make_component(name="QZ-5"), mark="TR-1")
    page = lay_ready(fitter, job, piece)
    assert "QZ-5" in page
    assert "bench 2" in page
    set_aside = SetAside.objects.get()
    send(fitter, f"/jobs/set-aside/{set_aside.pk}/fit/", place="gearbox", since=timezone.localdate().isoformat())
    assert Fitted.objects.get().vehicle == job.vehicle
    assert "bench 2" not in shown(fitter, job)


def test_a_piece_laid_ready_for_one_job_is_not_offered_to_another(fitter):
    piece, other = make_specimen(mark="TR-1"), make_job()
    lay_ready(fitter, make_job(), piece)
    page = lay_ready(fitter, other, piece, version="0")
    assert 'id="id_specimen_error"' in page
    assert 'value="bench 2"' in page, "what was typed is kept"
    assert not other.set_aside.exists()


def test_a_piece_not_for_this_job_is_free_again_with_the_reason_kept(fitter):
    job, piece = make_job(), make_specimen()
    lay_ready(fitter, job, piece)
    set_aside = SetAside.objects.get()
    send(fitter, f"/jobs/set-aside/{set_aside.pk}/delete/", reason="worn splines")
    assert "bench 2" not in shown(fitter, job)
    set_aside.refresh_from_db()
    assert set_aside.deleted_reason == "worn splines"
    other = make_job()
    fitter.post(f"/jobs/{other.pk}/set-aside/new/", {"specimen": piece.pk} | mark())
    assert other.set_aside.get().specimen == piece


def test_a_piece_cannot_be_fitted_tomorrow(fitter):
    job, piece = make_job(), make_specimen()
    lay_ready(fitter, job, piece)
    page = send(fitter, f"/jobs/set-aside/{SetAside.objects.get().pk}/fit/", place="gearbox", since="20226-01-05")
    assert "The year 20226 cannot be right" in page
    assert not Fitted.objects.exists()


def test_a_torque_is_added_for_a_step_once_and_taken_away_with_a_reason(fitter):
    step = make_step(title="Bolt the plate on")
    spec = make_torque_spec(place="plate to block")
    address = f"/jobs/{step.job_id}/torques/new/"
    page = send(fitter, address, torque_spec=spec.pk, step=step.pk)
    assert "plate to block" in page
    assert "in Bolt the plate on" in page
    fitter.post(address, {"torque_spec": spec.pk, "step": step.pk} | mark())
    torque = JobTorque.objects.get()
    send(fitter, f"/jobs/torques/{torque.pk}/delete/", reason="studs are used")
    assert "in Bolt the plate on" not in shown(fitter, step.job)
    torque.refresh_from_db()
    assert torque.deleted_reason == "studs are used"


def test_a_torque_needs_a_step_of_the_same_job(fitter):
    job, elsewhere = make_job(), make_step()
    page = send(fitter, f"/jobs/{job.pk}/torques/new/", torque_spec=make_torque_spec().pk, step=elsewhere.pk)
    assert 'id="id_step_error"' in page
    assert not JobTorque.objects.exists()


def test_a_deleted_torque_of_a_signed_step_leaves_the_sign_off(fitter, owner):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    form = {"value": "85 N·m", "tool": "wrench 2", "done_at": "2026-03-02T14:30", "note": ""}
    send(fitter, f"/jobs/steps/{step.pk}/sign/{torque.pk}/", **form)
    send(owner, f"/jobs/torques/{torque.pk}/delete/", reason="another spec applies")
    assert "wrench 2" in text_of(owner.get(f"/jobs/steps/{step.pk}/"))


def test_a_worksheet_is_added_and_stands_with_how_it_stands(fitter):
    job, sheet = make_job(), make_worksheet(title="Plate bolts")
    page = send(fitter, f"/jobs/{job.pk}/worksheets/new/", worksheet=sheet.pk)
    assert sheet.get_absolute_url() in page
    assert "not accepted yet" in page
    again = text_of(fitter.get(f"/jobs/{job.pk}/worksheets/new/"))
    assert "Plate bolts" not in again, "what the job rests on already is not offered again"


def test_a_question_is_put_decided_and_decided_otherwise_with_a_reason(fitter, people):
    job = make_job()
    page = send(fitter, f"/jobs/{job.pk}/decisions/new/", question="Which flywheel?")
    assert "Not decided yet." in page
    address = f"/jobs/decisions/{Decision.objects.get().pk}/"
    page = send(fitter, address, outcome="yes", answer="the steel one")
    assert "the steel one" in page
    assert "Not decided yet." not in page
    page = text_of(fitter.post(address, {"outcome": "yes", "answer": "the donor one"} | mark()))
    assert "It was decided already: “the steel one”. Say why it changes." in page
    assert "> the donor one</textarea>" in page, "what was typed is kept"
    fitter.post(address, {"outcome": "yes", "answer": "the donor one", "reason": "no blank to be had"} | mark())
    decision = Decision.objects.get()
    assert decision.answer == "the donor one"
    assert [entry.answer for entry in decision.history.all()] == ["the donor one", "the steel one", ""]
    assert decision.history.first().history_change_reason == "no blank to be had"


def test_of_two_people_who_decide_at_once_the_second_is_told_the_first_answer(fitter, owner):
    decision = make_decision()
    address = f"/jobs/decisions/{decision.pk}/"
    forms = [text_of(client.get(address)) for client in (fitter, owner)]
    assert all("Why it changes" not in form for form in forms)
    send(fitter, address, outcome="yes", answer="close ratios")
    page = text_of(owner.post(address, {"outcome": "yes", "answer": "wide ratios"} | mark()))
    assert "It was decided already: “close ratios”" in page
    assert "wide ratios" in page
    decision.refresh_from_db()
    assert decision.answer == "close ratios"


def test_an_empty_answer_decides_nothing(fitter):
    decision = make_decision()
    assert 'id="id_answer_error"' in send(fitter, f"/jobs/decisions/{decision.pk}/", outcome="yes", answer="  ")
    decision.refresh_from_db()
    assert not decision.is_made


def test_a_question_that_need_not_be_decided_leaves_the_page(fitter):
    decision = make_decision()
    send(fitter, f"/jobs/decisions/{decision.pk}/delete/", reason="the donor settles it")
    assert "Which ratios?" not in shown(fitter, decision.job).split('id="history"')[0]


def test_what_is_regulated_is_flagged_with_the_caution_and_stays_open_until_passed(fitter, owner):
    step = make_step(title="Open the tunnel")
    address = f"/jobs/{step.job_id}/regulated/new/"
    assert "licensed" in text_of(fitter.get(address))
    page = send(fitter, address, touches="structure", what="tunnel cut and boxed", step=step.pk)
    assert "tunnel cut and boxed" in page
    assert "in Open the tunnel" in page
    assert "Not approved yet" in text_of(fitter.get(f"/jobs/steps/{step.pk}/"))
    item = RegulatedItem.objects.get()
    assert fitter.post(f"/jobs/regulated/{item.pk}/delete/", {"reason": "x"} | mark()).status_code == 403
    send(owner, f"/jobs/regulated/{item.pk}/delete/", reason="the tunnel stays whole")
    assert "tunnel cut and boxed" not in shown(owner, step.job).split('id="history"')[0]


def test_a_flag_for_a_step_of_another_job_is_refused(fitter):
    job, elsewhere = make_job(), make_step()
    page = send(fitter, f"/jobs/{job.pk}/regulated/new/", touches="brakes", what="servo moved", step=elsewhere.pk)
    assert 'id="id_step_error"' in page
    assert 'value="servo moved"' in page
    assert not RegulatedItem.objects.exists()


def test_an_approval_typed_by_mistake_is_deleted_and_the_item_is_open_again(owner):
    item = make_regulated_item()
    make_begun_step(job=item.job)
    form = {
        "licensed_person": "R. Veld",
        "licence": "ST-119",
        "valid_until": "2027-12-31",
        "evidence": "certificate 40",
    }
    send(owner, f"/jobs/regulated/{item.pk}/approve/", passed_on=date(2026, 3, 2).isoformat(), **form)
    approval = item.approvals.get()
    send(owner, f"/jobs/approvals/{approval.pk}/delete/", reason="another vehicle's certificate")
    assert "Approved by R. Veld" not in shown(owner, item.job)


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
    assert buyer.post(address.format(job=job.pk), mark()).status_code == 403

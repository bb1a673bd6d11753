"""A step waits for its worksheet, and a calculated torque counts only while its accepted worksheet holds."""

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.jobs import attach_worksheet
from shop.jobs.changes.proof import Statement, sign_tightened
from shop.jobs.changes.steps import add_worksheet_need
from shop.jobs.changes.work import finish
from shop.jobs.network import network, networks
from shop.jobs.specified_torque import specified_torque
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from specs.engine.units import TORQUE, read
from tests.factories.jobs import make_job, make_job_torque, make_step
from tests.factories.measuring import make_torque_spec
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db

FASTENER = {
    "thread": "M10",
    "grade": "8.8",
    "mu_low": "0.12",
    "mu_high": "0.12",
    "wrench": "0",
    "clamped_material": "S355J2",
}
# VDI 2230 tightening torque of M10 8.8 with µ = 0.12 throughout: 48 N·m (VDI 2230-1:2015, table A1, from memory).
M10_NM = 48.0


def accept(sheet, person):
    return accept_worksheet(worksheet=sheet, token=worksheet_state(sheet).token, person=person)


def words(step):
    return network(step.job, timezone.localdate()).statuses[step.pk].words


def test_a_step_waits_until_its_worksheet_is_accepted_and_again_once_it_moved(people):
    sheet, step = make_worksheet(FASTENER, calculation="fastener-torque", title="Plate bolts"), make_step()
    add_worksheet_need(step=step, worksheet=sheet, person=people["fitter"])
    assert list(step.job.worksheets.all()) == [sheet]
    assert words(step) == "waits for the worksheet “Plate bolts”, not accepted yet"
    accept(sheet, people["owner"])
    assert words(step) == "ready"
    grade = sheet.inputs.get(path="grade")
    grade.typed = "10.9"
    grade.save()
    assert words(step) == "waits for the worksheet “Plate bolts”, changed since it was accepted"


def test_a_step_is_not_finished_before_its_own_worksheet_is_accepted(people):
    sheet, step = make_worksheet(FASTENER, calculation="fastener-torque", title="Plate bolts"), make_step()
    add_worksheet_need(step=step, worksheet=sheet, person=people["fitter"])
    add_worksheet_need(step=make_step(job=step.job), worksheet=make_worksheet(title="Wrench"), person=people["fitter"])
    with pytest.raises(ValidationError, match="waits for the worksheet “Plate bolts”, not accepted yet"):
        finish(step, person=people["fitter"], now=timezone.now())
    accept(sheet, people["owner"])
    assert finish(step, person=people["fitter"], now=timezone.now()).is_finished


def test_who_asks_only_about_parts_works_no_worksheet_out(people, monkeypatch):
    sheet, step = make_worksheet(FASTENER, calculation="fastener-torque", title="Plate bolts"), make_step()
    add_worksheet_need(step=step, worksheet=sheet, person=people["fitter"])
    accept(sheet, people["owner"])
    monkeypatch.delattr("shop.jobs.network.worksheet_states")
    left_alone = networks([step.job_id], timezone.localdate(), worksheets_of=())[step.job_id]
    assert left_alone.statuses[step.pk].words == "waits for the worksheet “Plate bolts”"


def test_a_calculated_torque_stands_on_the_accepted_record(people):
    job = make_job()
    spec = make_torque_spec(thread="M10", grade="8.8")
    sheet = make_worksheet(FASTENER, calculation="fastener-torque", title="Plate bolts")
    attach_worksheet(job=job, worksheet=sheet, person=people["fitter"])
    assert specified_torque(spec, job) is None
    record = accept(sheet, people["owner"])
    specified = specified_torque(spec, job)
    assert specified.torque == pytest.approx(M10_NM, abs=0.5)
    assert specified.record == record
    step = make_step(job=job)
    said = Statement(tool="wrench 2", done_at=timezone.now(), value=read("48 N·m", TORQUE))
    torque = make_job_torque(step=step, torque_spec=spec)
    kept = sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=timezone.now())
    assert kept.record == record


@pytest.mark.parametrize("changes", [{"grade": "10.9"}, {"thread": "M12"}])
def test_the_worksheet_of_another_fastener_says_nothing(people, changes):
    job = make_job()
    sheet = make_worksheet(FASTENER, calculation="fastener-torque")
    attach_worksheet(job=job, worksheet=sheet, person=people["fitter"])
    accept(sheet, people["owner"])
    assert specified_torque(make_torque_spec(**changes), job) is None


def test_an_out_of_date_worksheet_backs_no_sign_off(people):
    step = make_step()
    sheet = make_worksheet(FASTENER, calculation="fastener-torque")
    attach_worksheet(job=step.job, worksheet=sheet, person=people["fitter"])
    accept(sheet, people["owner"])
    thread = sheet.inputs.get(path="thread")
    thread.typed = "M12"
    thread.save()
    torque = make_job_torque(step=step, torque_spec=make_torque_spec(thread="M10", grade="8.8"))
    said = Statement(tool="wrench 2", done_at=timezone.now(), value=read("48 N·m", TORQUE))
    with pytest.raises(ValidationError, match="No approved torque"):
        sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=timezone.now())


def test_the_published_torque_comes_first(people):
    job = make_job()
    sheet = make_worksheet(FASTENER, calculation="fastener-torque")
    attach_worksheet(job=job, worksheet=sheet, person=people["fitter"])
    accept(sheet, people["owner"])
    spec = make_torque_spec(published_torque=45.0, published_typed="45 N·m", published_source="Teskel manual, p. 41")
    assert (specified_torque(spec, job).torque, specified_torque(spec, job).record) == (45.0, None)

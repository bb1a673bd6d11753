"""A step waits for its worksheet, and a calculated torque counts only while its accepted worksheet holds."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.proof import Statement, sign_tightened
from shop.jobs.changes.steps import add_worksheet_need
from shop.jobs.changes.torques import accept_doubt, tie_torque
from shop.jobs.changes.work import finish
from shop.jobs.job_rows import check_rows
from shop.jobs.models import JobTorque
from shop.jobs.network import network, networks
from shop.jobs.specified_torque import specified_torque
from shop.worksheets.today import briefs
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from tests.factories.jobs import make_step
from tests.factories.worksheets import make_worksheet
from tests.shop.jobs.bolt_worksheets import BOLT, FASTENER, accept, bolt_sheet, plain_torque

pytestmark = pytest.mark.django_db


# VDI 2230 tightening torque of M10 8.8 with µ = 0.08 throughout: 36 N·m (VDI 2230-1:2015, table A1, from memory).
M10_NM = 36.0
# Nobody said what the worn disc and hot lining leave.
CLUTCH = {
    "outside_diameter": "240 mm",
    "inside_diameter": "155 mm",
    "mu": "0.28",
    "clamp_force": "9.8 kN",
    "engine_torque": "285 N m",
}


def words(step):
    return network(step.job, timezone.localdate()).statuses[step.pk].words


def test_what_is_accepted_and_not_known_is_not_marked_as_done_on_the_job(people):
    sheet, step = make_worksheet(CLUTCH, calculation="clutch-capacity", title="The clutch"), make_step()
    add_worksheet_need(step=step, worksheet=sheet, person=people["fitter"])
    accept(sheet, people["owner"])
    (row,) = check_rows(briefs(step.job.worksheets.values_list("pk", flat=True), timezone.localdate()))
    assert row.mark == "check"
    assert "something is not known" in row.note
    assert "waits for" in words(step)


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
    with pytest.raises(ValidationError, match="is open in “Step 1”: the worksheet “Plate bolts”, not"):
        finish(step, person=people["fitter"], now=timezone.now())
    accept(sheet, people["owner"])
    assert finish(step, person=people["fitter"], now=timezone.now()).is_finished


def test_who_asks_only_about_parts_works_no_worksheet_out(people, monkeypatch):
    sheet, step = make_worksheet(FASTENER, calculation="fastener-torque", title="Plate bolts"), make_step()
    add_worksheet_need(step=step, worksheet=sheet, person=people["fitter"])
    accept(sheet, people["owner"])
    monkeypatch.delattr("shop.jobs.network.worksheet_statuses")
    left_alone = networks([step.job_id], timezone.localdate(), worksheets_of=())[step.job_id]
    assert left_alone.statuses[step.pk].words == "waits for the worksheet “Plate bolts”"


def tie(torque, record, people):
    return tie_torque(job_torque=torque, record=record, person=people["fitter"], now=timezone.now())


def sign(torque, people, typed="36 N·m"):
    statement = Statement(tool="wrench 2", done_at=timezone.now(), value=read(typed, TORQUE))
    now = timezone.now()
    return sign_tightened(step=torque.step, torque=torque, statement=statement, person=people["fitter"], now=now)


def test_an_accepted_worksheet_of_the_same_thread_gives_no_figure_until_somebody_ties_it(people):
    torque = plain_torque(thread="M10", grade="8.8")
    record = accept(bolt_sheet(torque, people), people["owner"])
    assert str(specified_torque(torque)).startswith("No approved torque: do not tighten")
    with pytest.raises(ValidationError, match="No approved torque"):
        sign(torque, people)
    tie(torque, record, people)
    specified = specified_torque(JobTorque.objects.get())
    assert specified.torque == pytest.approx(M10_NM, abs=1)
    assert specified.record == record
    assert sign(JobTorque.objects.get(), people).record == record


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ({"grade": "10.9"}, "property class"),
        ({"thread": "M12"}, "thread"),
        ({"thread": "M10x1.25"}, "thread"),
        ({"head": "socket"}, "head"),
        ({"condition": "locking compound"}, "friction"),
    ],
)
def test_the_worksheet_of_another_fastener_is_not_tied(people, changes, wrong):
    torque = plain_torque(**{**BOLT, **changes})
    record = accept(bolt_sheet(torque, people), people["owner"])
    with pytest.raises(ValidationError, match=f"for another {wrong} than the spec"):
        tie(torque, record, people)


@pytest.mark.parametrize("spelling", ["M10x1.5", "M10 × 1.5", "m10"])
def test_a_thread_is_the_same_in_any_spelling(people, spelling):
    torque = plain_torque(thread=spelling, grade="8.8")
    assert tie(torque, accept(bolt_sheet(torque, people), people["owner"]), people).pk


def test_a_tied_worksheet_that_moved_or_was_accepted_again_backs_no_sign_off(people):
    torque = plain_torque(**BOLT)
    sheet = bolt_sheet(torque, people)
    tie(torque, accept(sheet, people["owner"]), people)
    thread = sheet.inputs.get(path="thread")
    thread.typed = "M12"
    thread.save()
    assert "does not hold: changed since it was accepted" in str(specified_torque(JobTorque.objects.get()))
    accept(sheet, people["owner"])
    torque = JobTorque.objects.get()
    assert "was accepted again since: tie the newer record" in str(specified_torque(torque))
    with pytest.raises(ValidationError, match="No approved torque"):
        sign(torque, people)


def test_a_deleted_worksheet_backs_no_sign_off(people):
    torque = plain_torque(**BOLT)
    sheet = bolt_sheet(torque, people)
    tie(torque, accept(sheet, people["owner"]), people)
    sheet.deleted_at, sheet.deleted_reason = timezone.now(), "wrong joint"
    sheet.save()
    assert "was deleted" in str(specified_torque(JobTorque.objects.get()))


def test_the_published_torque_comes_first(people):
    torque = plain_torque(
        **BOLT, published_torque=45.0, published_typed="45 N·m", published_source="Teskel manual, p. 41"
    )
    tie(torque, accept(bolt_sheet(torque, people), people["owner"]), people)
    specified = specified_torque(JobTorque.objects.get())
    assert (specified.torque, specified.record) == (45.0, None)


def test_a_published_torque_beyond_scatter_is_signed_only_after_the_owner_said_why(people):
    torque = plain_torque(**BOLT, published_torque=85.0, published_typed="85 N·m", published_source="copied list")
    with pytest.raises(ValidationError, match="The owner says first why"):
        sign(torque, people, "85 N·m")
    with pytest.raises(PermissionDenied):
        accept_doubt(torque, person=people["fitter"], reason="looks right", now=timezone.now())
    accept_doubt(torque, person=people["owner"], reason="bolts are 12.9, spec to be corrected", now=timezone.now())
    assert sign(torque, people, "85 N·m").pk
    torque.torque_spec.published_torque = 90.0
    torque.torque_spec.save()
    torque = JobTorque.objects.get()
    assert "a second person confirms it first" in str(specified_torque(torque)), "another figure is another doubt"

"""Sign-offs: who tightened what, to how much, with which wrench; corrections are new records."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.proof import Statement, confirm_sign_off, sign_checked, sign_tightened
from shop.jobs.changes.steps import mark_here
from shop.jobs.changes.work import start
from shop.jobs.models import SignOff
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from tests.factories.jobs import (
    make_begun_step,
    make_job_torque,
    make_part_need,
    make_sign_off,
    make_step,
    make_time_entry,
)
from tests.factories.measuring import make_torque_spec
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


@pytest.fixture
def jonas(people):
    return people["fitter"]


def statement(**changes):
    return replace(Statement(tool="wrench 2", done_at=timezone.now(), value=read("85 N·m", TORQUE)), **changes)


def sign(torque, person, **changes):
    said = changes.pop("statement", None) or statement()
    return sign_tightened(step=torque.step, torque=torque, statement=said, person=person, now=timezone.now(), **changes)


def test_it_keeps_what_was_done_and_what_was_asked_that_day(jonas):
    kept = sign(make_job_torque(step=make_begun_step()), jonas)
    assert (kept.value, kept.value_typed, kept.tool, kept.person) == (85.0, "85 N·m", "wrench 2", jonas)
    assert kept.specified == "85 N·m, oiled; Teskel manual, ed. 3, p. 41"


def test_a_torque_published_as_nm_is_said_once_in_the_sign_of_every_other(jonas):
    spec = make_torque_spec(published_torque=36.0, published_typed="36 Nm", published_source="p. 1")
    torque = make_job_torque(step=make_begun_step(), torque_spec=spec)
    signed = sign(torque, jonas, statement=statement(value=read("36 N·m", TORQUE)))
    assert signed.specified.startswith("36 N·m, ")


def test_foot_pounds_are_kept_as_typed_and_compared_in_newton_metres(jonas):
    kept = sign(make_job_torque(step=make_begun_step()), jonas, statement=statement(value=read("63 lbf ft", TORQUE)))
    # 63 lbf·ft = 85.4 N·m (1 lbf·ft = 1.3558 N·m, NIST SP 811, appendix B.8)
    assert kept.value == pytest.approx(85.4, abs=0.05)
    assert kept.value_typed == "63 lbf ft"


def test_a_torque_that_nobody_stands_behind_is_refused(jonas):
    torque = make_job_torque(step=make_begun_step(), torque_spec=make_torque_spec())
    with pytest.raises(ValidationError, match="No approved torque"):
        sign(torque, jonas)


def test_a_deleted_spec_is_refused(jonas):
    torque = make_job_torque(step=make_begun_step())
    torque.torque_spec.deleted_at, torque.torque_spec.deleted_reason = timezone.now(), "wrong page"
    torque.torque_spec.save()
    with pytest.raises(ValidationError, match="does not apply"):
        sign(torque, jonas)


def test_a_value_off_what_was_asked_needs_a_note(jonas):
    torque = make_job_torque(step=make_begun_step())
    off = statement(value=read("75 N·m", TORQUE))
    with pytest.raises(ValidationError, match="12 % less than specified"):
        sign(torque, jonas, statement=off)
    assert sign(torque, jonas, statement=replace(off, note="helicoil below")).note == "helicoil below"


@pytest.mark.parametrize(
    ("typed", "words"),
    [("95 N·m", "This fastener bears at most 88 N·m"), ("60 N·m", "That is not tightened: 85 N·m is specified")],
)
def test_no_note_makes_a_loose_or_an_overtightened_fastener_right(jonas, typed, words):
    torque = make_job_torque(step=make_begun_step())
    with pytest.raises(ValidationError, match=words):
        sign(torque, jonas, statement=statement(value=read(typed, TORQUE), note="felt right"))


def test_more_than_specified_passes_only_below_yield_at_the_least_friction(jonas):
    """An M10 8.8 yields at 36.8 / 0.9 = 40.9 N·m where µ = 0.08 (VDI 2230-1:2015, table A1, from memory)."""
    given = {"published_torque": 36.0, "published_typed": "36 N·m", "published_source": "p. 1"}
    torque = make_job_torque(step=make_begun_step(), torque_spec=make_torque_spec(**given))
    with pytest.raises(ValidationError, match="bears at most 40"):
        sign(torque, jonas, statement=statement(value=read("48 N·m", TORQUE), note="felt right"))
    assert sign(torque, jonas, statement=statement(value=read("39 N·m", TORQUE), note="second pull")).pk


def test_who_works_past_midnight_signs_on_either_day(jonas):
    """The clock was started late yesterday: it runs yet, or was stopped after midnight."""
    midnight = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    running = make_job_torque(step=make_step())
    before, after = midnight - timedelta(minutes=20), midnight
    clock = {"day": before.date(), "started_at": before}
    make_time_entry(step=running.step, person=jonas, hours=None, **clock)
    assert sign(running, jonas, statement=statement(done_at=after)).pk
    stopped = make_job_torque(step=make_step())
    make_time_entry(step=stopped.step, hours=Decimal("0.5"), ended_at=midnight + timedelta(seconds=1), **clock)
    assert sign(stopped, jonas, statement=statement(done_at=after)).pk
    with pytest.raises(ValidationError, match="Nobody worked"):
        sign(stopped, jonas, statement=statement(done_at=before - timedelta(days=1)), corrects=None)


def test_a_time_to_come_is_refused(jonas):
    with pytest.raises(ValidationError, match="has not come yet"):
        sign(
            make_job_torque(step=make_begun_step()),
            jonas,
            statement=statement(done_at=timezone.now() + timedelta(hours=1)),
        )


def test_a_correction_is_a_new_record_with_a_reason(jonas):
    torque = make_job_torque(step=make_begun_step())
    first = sign(torque, jonas)
    with pytest.raises(ValidationError, match="Say why"):
        sign(torque, jonas, corrects=first)
    second = sign(
        torque, jonas, corrects=first, reason="wrench 2 was out of date", statement=statement(tool="wrench 5")
    )
    assert list(SignOff.objects.active()) == [second]
    assert SignOff.objects.count() == 2
    with pytest.raises(ValidationError, match="corrected already"):
        sign(torque, jonas, corrects=first, reason="again")


def test_the_second_person_is_somebody_else_and_is_recorded_once(people):
    kept = make_sign_off(person=people["fitter"])
    with pytest.raises(ValidationError, match="somebody else"):
        confirm_sign_off(kept, person=people["fitter"], now=timezone.now())
    first = confirm_sign_off(kept, person=people["machinist"], now=timezone.now())
    again = confirm_sign_off(kept, person=people["owner"], now=timezone.now())
    assert first.checked_by == again.checked_by == people["machinist"]


def test_a_check_says_what_was_found(jonas):
    with pytest.raises(ValidationError, match="Say what was found"):
        sign_checked(step=make_begun_step(), what="run-out", statement=statement(), person=jonas, now=timezone.now())
    said = statement(value=None, result="0.04 mm", tool="dial gauge 3", passed=True)
    assert (
        sign_checked(step=make_begun_step(), what="run-out", statement=said, person=jonas, now=timezone.now()).result
        == "0.04 mm"
    )


def test_the_buyer_may_not_sign(people):
    with pytest.raises(PermissionDenied):
        sign(make_job_torque(step=make_begun_step()), people["buyer"])


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def page(client, step):
    return collapsed(client.get(f"/jobs/steps/{step.pk}/"))


def test_a_fastener_set_is_signed_in_the_readers_units_and_confirmed_by_a_second_person(fitter, machinist):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    form = {"value": "63 lbf ft", "tool": "wrench 2", "done_at": "2026-03-02T14:30", "note": ""}
    answer = fitter.post(f"/jobs/steps/{step.pk}/sign/{torque.pk}/", form | MARK)
    assert answer.status_code == 302
    assert SignOff.objects.get().value_typed == "63 lbf ft"
    assert "Countersign" not in page(fitter, step)
    assert "no second person yet" in page(fitter, step)
    assert "Countersign" in page(machinist, step)
    machinist.post(f"/jobs/sign-offs/{SignOff.objects.get().pk}/confirm/")
    assert "seen by" in page(fitter, step)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("85 kg", "is a mass"),
        ("", "Fill this in."),
        ("1,250", "two ways"),
        ("-85 N·m", "Say to how much"),
        ("75 N·m", "less than specified"),
        ("120 N·m", "bears at most"),
        ("85", "Write the unit too"),
    ],
)
def test_a_bad_torque_is_refused_beside_its_field_and_kept(fitter, typed, words):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    form = {"value": typed, "tool": "wrench 2", "done_at": "2026-03-02T14:30", "note": ""}
    answer = collapsed(fitter.post(f"/jobs/steps/{step.pk}/sign/{torque.pk}/", form | MARK))
    assert words in answer
    assert 'value="wrench 2"' in answer
    assert not SignOff.objects.exists()


def test_a_correction_shows_the_reason_and_hides_what_it_replaces(fitter):
    kept = make_sign_off(step=make_begun_step(), result="0.40 mm")
    form = {
        "what": kept.what,
        "specified": "",
        "result": "0.04 mm",
        "tool": "dial gauge 3",
        "done_at": "2026-03-02T14:30",
    }
    fitter.post(
        f"/jobs/sign-offs/{kept.pk}/correct/",
        form | MARK | {"note": "", "passed": "yes", "reason": "wrote a nought too few"},
    )
    words = page(fitter, kept.step)
    assert "0.04 mm" in words
    assert "wrote a nought too few" in words
    assert "0.40 mm" not in words


def test_a_required_check_is_signed_with_what_was_specified_filled_in(fitter):
    step = make_begun_step()
    check = step.required_checks.create(what="flywheel run-out", specified="0.15 mm at most")
    address = f"/jobs/steps/{step.pk}/check/?check={check.pk}"
    assert 'value="0.15 mm at most"' in collapsed(fitter.get(address))
    said = {"what": check.what, "specified": check.specified, "result": "0.04 mm", "tool": "dial gauge 3"}
    said |= {"passed": "yes", "done_at": "2026-03-02T14:30"}
    assert press(fitter, address, **said).status_code == 302
    assert SignOff.objects.get().required_check == check
    assert "0.04 mm" in page(fitter, step)


@pytest.mark.parametrize(("field", "typed"), [("result", " "), ("passed", ""), ("tool", ""), ("done_at", "noon")])
def test_a_check_that_leaves_something_out_is_refused_beside_its_field_and_kept(fitter, field, typed):
    said = {"what": "run-out", "result": "0.04 mm", "tool": "dial gauge 3", "passed": "yes"}
    said |= {"done_at": "2026-03-02T14:30", field: typed}
    answer = collapsed(press(fitter, f"/jobs/steps/{make_begun_step().pk}/check/", **said))
    assert f'id="id_{field}_error"' in answer
    assert 'value="run-out"' in answer
    assert not SignOff.objects.exists()


@pytest.mark.parametrize("asked", ["0", "999999999", "99999999999999999999"])
def test_a_check_that_nobody_demanded_is_not_found_or_left_open(fitter, asked):
    assert fitter.get(f"/jobs/steps/{make_step().pk}/check/?check={asked}").status_code in (200, 404)


def test_the_second_to_correct_a_sign_off_is_told(fitter, machinist):
    kept = make_sign_off(step=make_begun_step(), result="0.40 mm")
    address = f"/jobs/sign-offs/{kept.pk}/correct/"
    said = {"what": kept.what, "tool": "dial gauge 3", "passed": "yes", "done_at": "2026-03-02T14:30"}
    press(fitter, address, **said, result="0.04 mm", reason="a nought too few")
    answer = collapsed(press(machinist, address, **said, result="0.05 mm", reason="measured again"))
    assert "corrected already" in answer
    assert 'value="0.05 mm"' in answer
    assert SignOff.objects.active().get().result == "0.04 mm"


def test_who_signed_is_told_that_the_second_person_is_somebody_else(fitter, people):
    kept = make_sign_off(step=make_begun_step(), person=people["fitter"])
    answer = collapsed(fitter.post(f"/jobs/sign-offs/{kept.pk}/confirm/", follow=True))
    assert "somebody else" in answer
    kept.refresh_from_db()
    assert kept.checked_by is None


def test_going_on_over_missing_parts_excuses_no_torque(people, jonas):
    step = make_begun_step()
    torque, need = make_job_torque(step=step), make_part_need(step=step, text="flywheel bolts")
    start(step, person=jonas, now=timezone.now(), go_on_because="the bolts come at noon")
    with pytest.raises(ValidationError, match="flywheel bolts, not ordered yet"):
        sign(torque, jonas)
    today = timezone.localdate()
    mark_here(need, on=today, note="off the shelf", person=people["owner"], today=today)
    assert sign(torque, jonas).pk


def test_a_bad_finding_is_not_corrected_into_one_about_something_else(fitter):
    kept = make_sign_off(step=make_begun_step(), what="leak at the slave", result="wet", passed=False)
    said = {"what": "colour", "result": "red", "passed": "yes", "tool": "eyes", "done_at": "2026-03-02T14:30"}
    answer = collapsed(press(fitter, f"/jobs/sign-offs/{kept.pk}/correct/", **said, reason="wrong line"))
    assert "about the same thing" in answer
    assert SignOff.objects.active().get() == kept

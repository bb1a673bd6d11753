"""Sign-offs: who tightened what, to how much, with which wrench; corrections are new records."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.proof import Statement, confirm_sign_off, sign_checked, sign_tightened
from shop.jobs.models import SignOff
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from tests.factories.jobs import make_begun_step, make_job_torque, make_sign_off
from tests.factories.measuring import make_torque_spec

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
    off = statement(value=read("95 N·m", TORQUE))
    with pytest.raises(ValidationError, match="12 % more than specified"):
        sign(torque, jonas, statement=off)
    assert sign(torque, jonas, statement=replace(off, note="stretched, replaced")).note == "stretched, replaced"


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

"""A finished step is called good after a second look, in whichever language somebody reads what is open in it."""

from contextlib import nullcontext

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.proof import Statement, sign_checked
from shop.jobs.changes.steps import add_check
from shop.jobs.changes.work import confirm_step, finish
from shop.jobs.models import RequiredCheck, Step
from tests.factories.jobs import make_begun_step
from tests.pseudo import in_pseudo

pytestmark = pytest.mark.django_db
LANGUAGES = pytest.mark.parametrize("reads", [nullcontext, in_pseudo])


@pytest.fixture
def step(people) -> Step:
    """A finished step with a check that is signed and that nobody else has looked at."""
    begun, now = make_begun_step(title="Bleed"), timezone.now()
    add_check(step=begun, what="pedal firm", specified="", person=people["fitter"])
    sign_checked(
        step=begun,
        what="pedal firm",
        statement=Statement(tool="by hand", done_at=now, result="firm", passed=True),
        person=people["fitter"],
        now=now,
        required_check=RequiredCheck.objects.get(),
    )
    done = finish(begun, person=people["fitter"], now=now, go_on_because="the owner looks tomorrow")
    Step.objects.filter(pk=done.pk).update(check_again="the hose was swapped")
    return Step.objects.get(pk=done.pk)


@LANGUAGES
def test_a_step_that_lacks_no_more_than_a_second_person_is_confirmed(step, people, reads) -> None:
    with reads():
        confirmed = confirm_step(step, person=people["fitter"], reason="bled again", now=timezone.now())
    assert confirmed.check_again == ""


@LANGUAGES
def test_a_step_that_lacks_a_signature_is_not(step, people, reads) -> None:
    add_check(step=step, what="no leak", specified="", person=people["fitter"])
    with reads(), pytest.raises(ValidationError):
        confirm_step(step, person=people["fitter"], reason="bled again", now=timezone.now())
    assert Step.objects.get(pk=step.pk).check_again

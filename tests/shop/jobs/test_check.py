"""Pages of a check that a step demands."""

import pytest

from shop.jobs.models import RequiredCheck
from tests.factories.jobs import make_step
from tests.pages import collapsed, delete_by_both, press

pytestmark = pytest.mark.django_db


def add(client, step, **typed):
    return press(client, f"/jobs/steps/{step.pk}/checks/new/", **typed)


def test_a_check_is_demanded_in_the_step(fitter):
    step = make_step()
    add(fitter, step, what="flywheel run-out", specified="0.15 mm at most")
    page = collapsed(fitter.get(step.get_absolute_url()))
    assert "flywheel run-out" in page
    assert "0.15 mm at most" in page


def test_a_check_of_nothing_is_refused_and_what_was_specified_kept(fitter):
    page = collapsed(add(fitter, make_step(), what=" ", specified="0.15 mm at most"))
    assert 'id="id_what_error"' in page
    assert 'value="0.15 mm at most"' in page
    assert not RequiredCheck.objects.exists()


def test_a_check_is_deleted_once_and_the_second_is_told(fitter, owner):
    step = make_step()
    add(fitter, step, what="flywheel run-out")
    check = RequiredCheck.objects.get()
    told = delete_by_both(fitter, owner, f"/jobs/checks/{check.pk}/delete/")
    assert "deleted this" in told
    assert "recorded twice" in told
    fitter.get(step.get_absolute_url())  # the message that it was deleted is said once
    page = collapsed(fitter.get(step.get_absolute_url()))
    assert "flywheel run-out" not in page.split("Deleted: 1")[0]
    check.refresh_from_db()
    assert check.deleted_reason == "line moved since"

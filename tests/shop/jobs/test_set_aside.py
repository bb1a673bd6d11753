"""Pages of a set aside."""

import pytest
from django.utils import timezone

from shop.jobs.models import SetAside
from shop.vehicles.models import Fitted
from tests.factories.jobs import (
    make_job,
)
from tests.factories.measuring import make_component, make_specimen
from tests.pages import collapsed, once, send

pytestmark = pytest.mark.django_db


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
    assert "bench 2" not in collapsed(fitter.get(f"/jobs/{job.pk}/"))


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
    assert "bench 2" not in collapsed(fitter.get(f"/jobs/{job.pk}/"))
    set_aside.refresh_from_db()
    assert set_aside.deleted_reason == "worn splines"
    other = make_job()
    fitter.post(f"/jobs/{other.pk}/set-aside/new/", {"specimen": piece.pk} | once())
    assert other.set_aside.get().specimen == piece


def test_a_piece_cannot_be_fitted_tomorrow(fitter):
    job, piece = make_job(), make_specimen()
    lay_ready(fitter, job, piece)
    page = send(fitter, f"/jobs/set-aside/{SetAside.objects.get().pk}/fit/", place="gearbox", since="20226-01-05")
    assert "The year 20226 cannot be right" in page
    assert not Fitted.objects.exists()

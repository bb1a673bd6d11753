"""Pages of a worksheet."""

from itertools import count

import pytest

from tests.factories.jobs import (
    make_job,
)
from tests.factories.worksheets import make_worksheet
from tests.pages import text_of

pytestmark = pytest.mark.django_db


_mark = count(1)


def mark():
    """As a form is given one each time it is opened."""
    return {"once": f"a-mark-that-a-form-was-given-{next(_mark):04}"}


def send(client, address, **fields):
    """The page after a form was sent: where it landed, or the form with its errors."""
    return text_of(client.post(address, fields | mark(), follow=True))


def test_a_worksheet_is_added_and_stands_with_how_it_stands(fitter):
    job, sheet = make_job(), make_worksheet(title="Plate bolts")
    page = send(fitter, f"/jobs/{job.pk}/worksheets/new/", worksheet=sheet.pk)
    assert sheet.get_absolute_url() in page
    assert "not accepted yet" in page
    again = text_of(fitter.get(f"/jobs/{job.pk}/worksheets/new/"))
    assert "Plate bolts" not in again, "what the job rests on already is not offered again"


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

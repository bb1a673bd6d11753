"""Pages of an approval: the evidence that a licensed person passed a regulated item."""

import pytest
from django.utils import timezone

from shop.jobs.models import Approval
from tests.factories.jobs import make_begun_step, make_regulated_item
from tests.pages import collapsed, delete_by_both, press

pytestmark = pytest.mark.django_db


@pytest.fixture
def item():
    found = make_regulated_item(what="tunnel opened")
    make_begun_step(job=found.job)
    return found


def evidence(**changes):
    passed = {"passed_on": timezone.localdate().isoformat(), "valid_until": "2199-12-31"}
    return {
        "licensed_person": "R. Veld",
        "licence": "ST-119",
        "evidence": "certificate 40, blue folder",
        **passed,
        **changes,
    }


def approve(owner, item, **changes):
    return press(owner, f"/jobs/regulated/{item.pk}/approve/", **evidence(**changes))


def test_the_evidence_is_recorded_and_shown_on_the_job(owner, item):
    assert approve(owner, item).status_code == 302
    page = collapsed(owner.get(item.job.get_absolute_url()))
    assert "R. Veld" in page
    assert "certificate 40, blue folder" in page


@pytest.mark.parametrize(
    ("field", "typed"),
    [("licence", ""), ("evidence", " "), ("passed_on", "20226-01-05"), ("valid_until", "soon")],
)
def test_what_is_missing_is_said_beside_its_field_and_the_rest_kept(owner, item, field, typed):
    page = collapsed(approve(owner, item, **{field: typed}))
    assert f'id="id_{field}_error"' in page
    assert 'value="R. Veld"' in page
    assert not Approval.objects.exists()


def test_a_licence_that_had_run_out_is_refused(owner, item):
    page = collapsed(approve(owner, item, valid_until="2020-01-31"))
    assert 'id="id_valid_until_error"' in page
    assert not Approval.objects.exists()


def test_a_deleted_approval_opens_its_item_again_and_the_second_is_told(owner, item):
    approve(owner, item)
    approval = Approval.objects.get()
    told = delete_by_both(owner, owner, f"/jobs/approvals/{approval.pk}/delete/")
    assert "deleted this" in told
    assert "recorded twice" in told
    assert not item.job.regulated_items.active().get().approvals.active().exists()
    assert Approval.objects.get().deleted_reason == "line moved since"

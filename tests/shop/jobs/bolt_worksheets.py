"""A fastener without a published torque, and the worksheet that works one out for it."""

from django.utils import timezone

from shop.jobs.changes.jobs import attach_worksheet
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from tests.factories.jobs import make_begun_step, make_job_torque
from tests.factories.measuring import make_torque_spec
from tests.factories.worksheets import make_worksheet

BOLT = {"thread": "M10", "grade": "8.8"}
FASTENER = {
    **BOLT,
    "mu_low": "0.08",
    "mu_high": "0.16",
    "wrench": "0.04",
    "clamped_material": "S355J2",
}


def accept(sheet, person):
    return accept_worksheet(sheet, token=worksheet_state(sheet).token, person=person, now=timezone.now())


def bolt_sheet(torque, people, **inputs):
    """A worksheet of the fastener of a torque spec, attached to its job."""
    of = {"calculation": "fastener-torque", "title": "Plate bolts", "component": torque.torque_spec.component}
    sheet = make_worksheet({**FASTENER, **inputs}, **of)
    attach_worksheet(job=torque.job, worksheet=sheet, person=people["fitter"])
    return sheet


def plain_torque(**changes):
    """Without a published figure."""
    return make_job_torque(step=make_begun_step(), torque_spec=make_torque_spec(**changes))

"""Values for the addresses of printed sheets."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.cards import make_printed
from tests.factories.jobs import make_job
from tests.factories.plates import make_plate


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    job = make_job()
    printed = make_printed("job-card", job, person=people["fitter"])
    plate = {"pk": make_plate().pk, "side": "gearbox", "form": "csv"}
    return {
        "cards:plate-file": plate,
        "cards:print": {"kind": "job-card", "pk": job.pk},
        "cards:printed": {"pk": printed.pk},
    }

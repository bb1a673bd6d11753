"""Values for the addresses of printed sheets."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.cards import make_printed
from tests.factories.jobs import make_job
from tests.factories.plates import make_left_out, make_plate


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    job = make_job()
    printed = make_printed("job-card", job, person=people["fitter"])
    sheet = make_plate()
    plate = {"pk": sheet.pk, "side": "gearbox", "form": "csv"}
    own = {"pk": sheet.pk}
    names = "plate-clocking plate-bolts plate-thickness plate-making leave-out"
    return {f"cards:{name}": own for name in names.split()} | {
        "cards:use-again": {"pk": make_left_out(sheet).pk},
        "cards:plate-file": plate,
        "cards:print": {"kind": "job-card", "pk": job.pk},
        "cards:printed": {"pk": printed.pk},
    }

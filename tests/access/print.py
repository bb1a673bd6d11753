"""Records for the addresses of printed sheets."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.jobs import make_job
from tests.factories.orders import make_chase, make_order
from tests.factories.plate import make_plate
from tests.factories.print import make_customer_letter, make_printed


def examples(people: dict[str, User]) -> dict[str, Any]:
    job = make_job()
    printed = make_printed("job-card", job, person=people["fitter"])
    return {
        "print/": printed,
        "print/customer-letter/": make_customer_letter(job),
        "print/customer-letter/new/": job,
        "print/letter/": make_chase(order=make_order(), text="When?\n\nPlease say."),
        "print:plate-file": {"pk": make_plate().pk, "side": "gearbox", "form": "csv"},
        "print:sheet-new": {"kind": "job-card", "pk": job.pk},
        "s:number": {"number": printed.number},
    }

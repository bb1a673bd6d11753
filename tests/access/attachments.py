"""Records for the addresses of documents kept with a supplier, job, vehicle or component."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.attachments import make_attachment
from tests.factories.jobs import make_job
from tests.factories.measuring import make_component
from tests.factories.orders import make_supplier


def examples(people: dict[str, User]) -> dict[str, Any]:
    supplier, job = make_supplier(), make_job()
    return {
        "attachments/": make_attachment(
            job.vehicle, person=people["fitter"], name="page.txt", content=b"Read at the bench.\n"
        ),
        "attachments/supplier/": supplier,
        "attachments/job/": job,
        "attachments/vehicle/": job.vehicle,
        "attachments/component/": make_component(),
    }

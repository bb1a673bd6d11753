"""Printed sheets for tests."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import models
from django.utils import timezone

from shop.jobs.models import Job
from shop.print.changes import print_sheet
from shop.print.kinds import sheet_kinds
from shop.print.models import CustomerLetter, PrintedSheet
from tests.factories.people import make_person


def make_printed(kind: str, subject: models.Model, **changes: Any) -> PrintedSheet:
    """A sheet of a record, printed by a fitter."""
    usual = {"paper": "A4", "system": "metric", "site": "https://shop.example/", "now": timezone.now()}
    person = changes.pop("person", None) or make_person(roles=["fitter"])
    return print_sheet(kind=sheet_kinds()[kind], subject=subject, person=person, **{**usual, **changes})


def make_customer_letter(job: Job, **changes: Any) -> CustomerLetter:
    """A letter to a job's customer, printed."""
    usual = {"on": date(2026, 11, 26), "how": "letter", "subject": "Later", "body": "Dear customer,\n\nLater."}
    person = changes.pop("person", None) or make_person()
    return CustomerLetter.objects.create(job=job, person=person, **{**usual, **changes})

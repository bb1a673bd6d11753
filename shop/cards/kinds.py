"""The kinds of sheet that the shop prints: what each is made for, how its facts are read and laid out.

A new kind of sheet is one entry here and its two functions; permission, numbering, keeping and pages follow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import models
from reportlab.platypus import Flowable

from shop.cards.facts import Heading, JobFacts, MeasuringFacts, SheetFacts
from shop.cards.job_facts import read_job
from shop.cards.job_story import job_story
from shop.cards.sheet_facts import read_measuring, read_worksheet
from shop.cards.sheet_story import measuring_story, worksheet_story
from shop.jobs.models import Job
from shop.worksheets.models import Worksheet
from shop.worksheets.today import worksheet_state
from specs.models import Component
from specs.units import System

Read = Callable[[Any, Heading, System, date], Any]


@dataclass(frozen=True)
class SheetKind:
    """One kind of sheet. `prefix` starts its numbers, `subject` names the field of Printed that holds what it is of."""

    name: str
    words: str
    prefix: str
    subject: str
    model: type[models.Model]
    facts: type[Any]
    read: Read
    story: Callable[[Any], list[Flowable]]


KINDS = {
    kind.name: kind
    for kind in (
        SheetKind("job-card", "Job card", "J", "job", Job, JobFacts, read_job, job_story),
        SheetKind(
            "worksheet",
            "Worksheet",
            "W",
            "worksheet",
            Worksheet,
            SheetFacts,
            lambda sheet, heading, system, today: read_worksheet(worksheet_state(sheet), heading, system),
            worksheet_story,
        ),
        SheetKind(
            "measuring-sheet",
            "Measuring sheet",
            "M",
            "component",
            Component,
            MeasuringFacts,
            lambda component, heading, system, today: read_measuring(component, heading, system),
            measuring_story,
        ),
    )
}

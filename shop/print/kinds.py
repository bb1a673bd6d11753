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

from shop.jobs.models import Job
from shop.plate.layout import PLATE
from shop.print.facts import (
    Heading,
    JobFacts,
    MeasuringFacts,
    PlateFacts,
    SheetFacts,
)
from shop.print.job_facts import read_job
from shop.print.job_story import job_story
from shop.print.plate_facts import read_plate
from shop.print.plate_story import setup_story
from shop.print.sheet_facts import read_measuring, read_worksheet
from shop.print.sheet_frame import render
from shop.print.sheet_story import measuring_story, worksheet_story
from shop.print.template import template
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.engine.units import System
from specs.models import Component
from specs.plate.machining import Side

Read = Callable[[Any, Heading, System, date], Any]


@dataclass(frozen=True)
class SheetKind:
    """One kind of sheet. `prefix` starts its numbers, `subject` names the field of Printed that holds what it is of.

    read gives the facts, draw makes the PDF of them on a paper. `only_for`: the calculation of the worksheets that it
    can be printed of, where that is not any.
    """

    name: str
    words: str
    prefix: str
    subject: str
    model: type[models.Model]
    facts: type[Any]
    read: Read
    draw: Callable[[Any, str], bytes]
    papers: tuple[str, ...] = ("A4", "Letter")
    only_for: str = ""


def _told(story: Callable[[Any], list[Flowable]]) -> Callable[[Any, str], bytes]:
    return lambda facts, paper: render(facts.heading, story(facts), paper)


def _plate_sheet(name: str, words: str, prefix: str, draw: Callable[[Any, str], bytes], *papers: str) -> SheetKind:
    return SheetKind(
        name,
        words,
        prefix,
        "worksheet",
        Worksheet,
        PlateFacts,
        lambda sheet, heading, system, today: read_plate(worksheet_state(sheet), heading),
        draw,
        ("A4", "Letter", *papers),
        only_for=PLATE,
    )


_PLATE_SHEETS = (
    _plate_sheet("plate-setup", "Set-up sheets", "S", _told(setup_story)),
    _plate_sheet(
        "template-gearbox",
        "Template, gearbox side up",
        "TG",
        lambda facts, paper: template(facts, Side.GEARBOX, paper),
        "A3",
    ),
    _plate_sheet(
        "template-engine",
        "Template, engine side up",
        "TE",
        lambda facts, paper: template(facts, Side.ENGINE, paper),
        "A3",
    ),
)


KINDS = {
    kind.name: kind
    for kind in (
        SheetKind("job-card", "Job card", "J", "job", Job, JobFacts, read_job, _told(job_story)),
        SheetKind(
            "worksheet",
            "Worksheet",
            "W",
            "worksheet",
            Worksheet,
            SheetFacts,
            lambda sheet, heading, system, today: read_worksheet(worksheet_state(sheet), heading, system),
            _told(worksheet_story),
        ),
        SheetKind(
            "measuring-sheet",
            "Measuring sheet",
            "M",
            "component",
            Component,
            MeasuringFacts,
            lambda component, heading, system, today: read_measuring(component, heading, system),
            _told(measuring_story),
        ),
        *_PLATE_SHEETS,
    )
}

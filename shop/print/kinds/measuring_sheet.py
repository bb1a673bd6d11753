"""A blank sheet to measure a component with."""

from shop.base.language import gettext_lazy
from shop.print.facts import MeasuringFacts
from shop.print.kinds import SheetKind
from shop.print.sheet_facts import read_measuring
from shop.print.sheet_frame import drawn_from
from shop.print.sheet_story import measuring_story
from specs.models import Component

KIND = SheetKind(
    name="measuring-sheet",
    title=gettext_lazy("Measuring sheet"),
    prefix="M",
    subject="component",
    model=Component,
    facts=MeasuringFacts,
    read=lambda component, heading, system, today: read_measuring(component, heading, system),
    draw=drawn_from(measuring_story),
)

"""A blank sheet to measure a component with."""

from shop.base.language import gettext_lazy
from shop.print.facts import MeasuringFacts
from shop.print.kinds import SheetKind
from shop.print.sheet_facts import read_measuring
from specs.models import Component

KIND = SheetKind(
    name="measuring-sheet",
    title=gettext_lazy("Measuring sheet"),
    prefix="M",
    subject="component",
    model=Component,
    facts=MeasuringFacts,
    read=lambda component, heading, system, today: read_measuring(component, heading, system),
    drawn_by="shop.print.sheet_story.measuring_sheet",
)

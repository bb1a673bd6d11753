"""A worksheet with its working."""

from shop.base.language import gettext_lazy
from shop.print.facts import SheetFacts
from shop.print.kinds import SheetKind
from shop.print.sheet_facts import read_worksheet
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet

KIND = SheetKind(
    name="worksheet",
    title=gettext_lazy("Worksheet"),
    prefix="W",
    subject="worksheet",
    model=Worksheet,
    facts=SheetFacts,
    read=lambda sheet, heading, system, today: read_worksheet(worksheet_state(sheet), heading, system),
    drawn_by="shop.print.sheet_story.worksheet_sheet",
)

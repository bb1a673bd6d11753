"""What the sheets of a plate have in common: a worksheet that lays out a plate, and the facts of that plate."""

from shop.plate.layout import PLATE
from shop.print.kinds import SheetKind
from shop.print.plate_card_facts import PlateFacts
from shop.print.plate_facts import read_plate
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet


def plate_sheet(*, name: str, title: str, prefix: str, drawn_by: str, papers: tuple[str, ...]) -> SheetKind:
    """A kind of sheet that is printed of a plate."""
    return SheetKind(
        name=name,
        title=title,
        prefix=prefix,
        subject="worksheet",
        model=Worksheet,
        facts=PlateFacts,
        read=lambda sheet, heading, system, today: read_plate(worksheet_state(sheet), heading),
        drawn_by=drawn_by,
        papers=papers,
        only_for=PLATE,
    )

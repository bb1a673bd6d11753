"""The machinist's set-up sheets of a plate."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet
from shop.print.plate_story import setup_story
from shop.print.sheet_frame import drawn_from

KIND = plate_sheet(
    name="plate-setup",
    title=gettext_lazy("Set-up sheets"),
    prefix="S",
    draw=drawn_from(setup_story),
    papers=("A4", "Letter"),
)

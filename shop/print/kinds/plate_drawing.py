"""The drawing of a finished plate, for a shop outside."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet

KIND = plate_sheet(
    name="plate-drawing",
    title=gettext_lazy("Plate drawing"),
    prefix="D",
    drawn_by="shop.print.finished_plate.finished_drawing",
    papers=("A4", "Letter", "A3"),
)

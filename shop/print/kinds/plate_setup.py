"""The machinist's set-up sheets of a plate."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet

KIND = plate_sheet(
    name="plate-setup",
    title=gettext_lazy("Set-up sheets"),
    prefix="S",
    drawn_by="shop.print.plate_story.setup_sheet",
    papers=("A4", "Letter"),
)

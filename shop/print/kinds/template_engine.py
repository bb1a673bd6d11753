"""The full-size template of a plate, engine side up."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet
from shop.print.template import template
from specs.plate.sides import Side

KIND = plate_sheet(
    name="template-engine",
    title=gettext_lazy("Template, engine side up"),
    prefix="TE",
    draw=lambda facts, paper: template(facts, Side.ENGINE, paper),
    papers=("A4", "Letter", "A3"),
)

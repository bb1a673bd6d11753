"""The full-size template of a plate, gearbox side up."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet
from shop.print.template import template
from specs.plate.sides import Side

KIND = plate_sheet(
    name="template-gearbox",
    title=gettext_lazy("Template, gearbox side up"),
    prefix="TG",
    draw=lambda facts, paper: template(facts, Side.GEARBOX, paper),
    papers=("A4", "Letter", "A3"),
)

"""The full-size template of a plate, engine side up."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet

KIND = plate_sheet(
    name="template-engine",
    title=gettext_lazy("Template, engine side up"),
    prefix="TE",
    drawn_by="shop.print.template.engine_template",
    papers=("A4", "Letter", "A3"),
)

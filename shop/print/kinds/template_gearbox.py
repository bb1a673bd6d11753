"""The full-size template of a plate, gearbox side up."""

from shop.base.language import gettext_lazy
from shop.print.plate_sheet import plate_sheet

KIND = plate_sheet(
    name="template-gearbox",
    title=gettext_lazy("Template, gearbox side up"),
    prefix="TG",
    drawn_by="shop.print.template.gearbox_template",
    papers=("A4", "Letter", "A3"),
)

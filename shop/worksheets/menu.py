from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [
    Entry(gettext_lazy("Worksheets"), "worksheets:worksheets", gettext_lazy("Calculate"), order=30),
    Entry(gettext_lazy("Changed since accepted"), "worksheets:worksheets-changed", gettext_lazy("Calculate"), order=40),
]

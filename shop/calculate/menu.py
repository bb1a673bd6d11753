from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [
    Entry(gettext_lazy("Questions"), "calculate:questions", gettext_lazy("Calculate"), order=10),
    Entry(gettext_lazy("Calculations"), "calculate:calculations", gettext_lazy("Calculate"), order=20),
    Entry(gettext_lazy("Standards"), "calculate:standards", gettext_lazy("Calculate"), order=50),
]

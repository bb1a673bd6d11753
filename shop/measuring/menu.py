from shop.base.language import gettext_lazy
from shop.base.menu import Below, Entry

MENU = [
    Entry(gettext_lazy("Components"), "measuring:components", gettext_lazy("Components"), order=10),
    Entry(gettext_lazy("Dimensions"), "measuring:dimensions", gettext_lazy("Components"), order=20),
    Entry(gettext_lazy("Readings"), "measuring:readings", gettext_lazy("Components"), order=25),
    Entry(gettext_lazy("Hole patterns"), "measuring:patterns", gettext_lazy("Components"), order=30),
    Entry(gettext_lazy("Mating features"), "measuring:features", gettext_lazy("Components"), order=35),
]
BELOW = [Below("measuring/", "measuring:components")]

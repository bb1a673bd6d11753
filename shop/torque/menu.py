from shop.base.language import gettext_lazy
from shop.base.menu import Below, Entry

MENU = [Entry(gettext_lazy("Torque specs"), "torque:specs", gettext_lazy("Components"), order=40)]
BELOW = [Below("torque/", "torque:specs")]

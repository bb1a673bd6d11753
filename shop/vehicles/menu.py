from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [
    Entry(gettext_lazy("Vehicles"), "vehicles:vehicles", gettext_lazy("Jobs"), order=30),
    Entry(gettext_lazy("Customers"), "vehicles:customers", gettext_lazy("Jobs"), order=40),
]

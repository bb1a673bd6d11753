from shop.base.language import gettext_lazy
from shop.base.menu import Below, Entry

MENU = [
    Entry(gettext_lazy("Orders"), "orders:orders", gettext_lazy("Buying"), order=20),
    Entry(gettext_lazy("Parts and stock"), "orders:parts", gettext_lazy("Buying"), order=25),
    Entry(gettext_lazy("Suppliers"), "orders:suppliers", gettext_lazy("Buying"), order=30),
    Entry(gettext_lazy("Owed to us"), "orders:owed", gettext_lazy("Buying"), order=35, action="orders.prices"),
    Entry(gettext_lazy("Mail"), "orders:messages", gettext_lazy("Buying"), order=40),
]
BELOW = [Below("stock/", "orders:parts")]

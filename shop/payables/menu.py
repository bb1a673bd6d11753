from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [
    Entry(gettext_lazy("Invoices"), "payables:invoices", gettext_lazy("Buying"), order=36, action="payables.see"),
    Entry(gettext_lazy("Deliveries"), "payables:deliveries", gettext_lazy("Buying"), order=37, action="payables.see"),
]

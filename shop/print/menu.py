from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [Entry(gettext_lazy("Printed sheets"), "print:sheets", gettext_lazy("Jobs"), order=70)]

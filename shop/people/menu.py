from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [
    Entry(gettext_lazy("Preferences"), "people:preferences", gettext_lazy("You"), order=10),
    Entry(gettext_lazy("Password"), "people:own-password", gettext_lazy("You"), order=20),
    Entry(gettext_lazy("People"), "people:people", gettext_lazy("You"), order=40, action="people.manage"),
]

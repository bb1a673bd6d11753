from shop.base.language import gettext_lazy
from shop.base.menu import Below, Entry

MENU = [
    Entry(gettext_lazy("Ready work"), "planning:ready", gettext_lazy("Today"), order=20),
    Entry(gettext_lazy("Forecast"), "planning:forecast", gettext_lazy("Jobs"), order=20),
    Entry(gettext_lazy("Late parts"), "planning:late", gettext_lazy("Buying"), order=10),
    Entry(gettext_lazy("To order"), "planning:to-order", gettext_lazy("Buying"), order=15),
    Entry(gettext_lazy("Mail and calendar"), "planning:notices", gettext_lazy("You"), order=30),
]
# Where one's own mail goes is entered from the page of one's mail.
BELOW = [Below("planning/line/", "planning:late"), Below("people/mail/", "planning:notices")]

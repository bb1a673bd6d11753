from shop.base.language import gettext_lazy
from shop.base.menu import Below, Entry

MENU = [
    Entry(gettext_lazy("Today"), "home:today", gettext_lazy("Today"), order=10),
    Entry(gettext_lazy("Shop"), "home:shop-details", gettext_lazy("You"), order=45, action="people.manage"),
]
BELOW = [
    Below("bulk/", "home:today"),
    Below("work/", "home:today"),
    Below("setup/", "home:today"),
    Below("sample-data/", "home:shop-details"),
]

from shop.base.language import gettext_lazy
from shop.base.roles import EVERYONE, Action

ACTIONS = [
    Action("people.manage", gettext_lazy("change who works here and in which role")),
    Action("people.money", gettext_lazy("see the shop's own rates, quotes, margins and invoices"), given=True),
    Action("people.own", gettext_lazy("change your own preferences and password"), EVERYONE),
]

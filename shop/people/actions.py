from shop.base.roles import EVERYONE, Action

ACTIONS = [
    Action("people.manage", "change who works here and in which role"),
    Action("people.money", "see the shop's own rates, quotes, margins and invoices", given=True),
    Action("people.own", "change your own preferences and password", EVERYONE),
]

from shop.base.language import gettext_lazy
from shop.base.roles import (
    BUYER,
    EVERYONE,
    FITTER,
    MACHINIST,
    Action,
)

ACTIONS = [
    Action("orders.see", gettext_lazy("see orders and suppliers"), EVERYONE),
    Action("orders.prices", gettext_lazy("see what parts cost"), {BUYER}),
    Action("orders.order", gettext_lazy("place, change or cancel orders"), {BUYER}),
    Action("orders.approve", gettext_lazy("approve orders above the limit, and set it")),
    Action("orders.promise", gettext_lazy("record what a supplier promised"), {BUYER}),
    Action("orders.receive", gettext_lazy("record what came or went back"), {BUYER, FITTER, MACHINIST}),
    Action("orders.chase", gettext_lazy("chase a supplier"), {BUYER}),
    Action("orders.attach", gettext_lazy("keep a document with an order"), {BUYER, FITTER, MACHINIST}),
]

from shop.base.roles import (
    BUYER,
    EVERYONE,
    FITTER,
    MACHINIST,
    Action,
)

ACTIONS = [
    Action("orders.see", "see orders and suppliers", EVERYONE),
    Action("orders.prices", "see what parts cost", {BUYER}),
    Action("orders.order", "place, change or cancel orders", {BUYER}),
    Action("orders.approve", "approve orders above the limit, and set it"),
    Action("orders.promise", "record what a supplier promised", {BUYER}),
    Action("orders.receive", "record what came or went back", {BUYER, FITTER, MACHINIST}),
    Action("orders.chase", "chase a supplier", {BUYER}),
    Action("orders.attach", "keep a document with an order", {BUYER, FITTER, MACHINIST}),
]

from shop.base.roles import BUYER, Action

ACTIONS = [
    Action("payables.see", "see suppliers' invoices", {BUYER}),
    Action("payables.record", "record and pay suppliers' invoices", {BUYER}),
]

from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, Action

ACTIONS = [
    Action("payables.see", gettext_lazy("see suppliers' invoices"), {BUYER}),
    Action("payables.record", gettext_lazy("record and pay suppliers' invoices"), {BUYER}),
]

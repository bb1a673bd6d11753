from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, FITTER, MACHINIST, Action

ACTIONS = [
    Action("measuring.measure", gettext_lazy("record a measurement"), {FITTER, MACHINIST}),
    Action("measuring.judge", gettext_lazy("choose which reading counts, or delete a record"), {FITTER, MACHINIST}),
    Action(
        "measuring.edit",
        gettext_lazy("add or change components, dimensions and hole patterns"),
        {FITTER, MACHINIST, BUYER},
    ),
]

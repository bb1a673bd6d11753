from shop.base.language import gettext_lazy
from shop.base.roles import FITTER, MACHINIST, Action

ACTIONS = [
    Action("worksheets.edit", gettext_lazy("add or change worksheets"), {FITTER, MACHINIST}),
    Action("worksheets.accept", gettext_lazy("accept a worksheet's result"), {FITTER, MACHINIST}),
]

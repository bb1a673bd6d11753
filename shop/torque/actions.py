from shop.base.language import gettext_lazy
from shop.base.roles import FITTER, MACHINIST, Action

ACTIONS = [Action("torque.edit", gettext_lazy("add or change torque specs"), {FITTER, MACHINIST})]

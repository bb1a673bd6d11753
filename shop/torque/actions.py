from shop.base.roles import FITTER, MACHINIST, Action

ACTIONS = [Action("torque.edit", "add or change torque specs", {FITTER, MACHINIST})]

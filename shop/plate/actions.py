from shop.base.roles import FITTER, MACHINIST, Action

ACTIONS = [Action("plate.make", "say how a plate is made, and leave holes out of it", {FITTER, MACHINIST})]

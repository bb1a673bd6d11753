from shop.base.roles import FITTER, MACHINIST, Action

ACTIONS = [
    Action("worksheets.edit", "add or change worksheets", {FITTER, MACHINIST}),
    Action("worksheets.accept", "accept a worksheet's result", {FITTER, MACHINIST}),
]

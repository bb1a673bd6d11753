from shop.base.roles import BUYER, FITTER, MACHINIST, Action

ACTIONS = [
    Action("measuring.measure", "record a measurement", {FITTER, MACHINIST}),
    Action("measuring.judge", "choose which reading counts, or delete a record", {FITTER, MACHINIST}),
    Action("measuring.edit", "add or change components, dimensions and hole patterns", {FITTER, MACHINIST, BUYER}),
]

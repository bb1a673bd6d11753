from shop.people.roles import BUYER, FITTER, MACHINIST, Action

ACTIONS = [
    Action("reference.measure", "record a measurement", {FITTER, MACHINIST}),
    Action("reference.judge", "choose which reading counts, or withdraw a record", {FITTER, MACHINIST}),
    Action("reference.edit", "add or change components, dimensions and hole patterns", {FITTER, MACHINIST, BUYER}),
    Action("reference.torque", "add or change torque specs", {FITTER, MACHINIST}),
]

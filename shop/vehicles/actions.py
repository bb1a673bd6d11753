from shop.base.roles import BUYER, FITTER, Action

ACTIONS = [
    Action("vehicles.manage", "record customers, vehicles and what is fitted", {FITTER, BUYER}),
]

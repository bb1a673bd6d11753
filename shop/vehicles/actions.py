from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, FITTER, Action

ACTIONS = [
    Action("vehicles.manage", gettext_lazy("record customers, vehicles and what is fitted"), {FITTER, BUYER}),
]

from shop.base.language import gettext_lazy
from shop.base.roles import FITTER, MACHINIST, Action

ACTIONS = [
    Action("plate.make", gettext_lazy("say how a plate is made, and leave holes out of it"), {FITTER, MACHINIST})
]

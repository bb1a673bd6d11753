from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, EVERYONE, FITTER, MACHINIST, Action

ACTIONS = [
    Action("print.print", gettext_lazy("print a card or a sheet"), {FITTER, MACHINIST}),
    Action("print.read", gettext_lazy("open what was printed"), EVERYONE),
    Action("print.write", gettext_lazy("write to a customer"), {BUYER}),
]

from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, EVERYONE, Action

ACTIONS = [
    Action("planning.see", gettext_lazy("see what is ready and when vehicles will be done"), EVERYONE),
    Action("planning.choose", gettext_lazy("decide to wait or to buy elsewhere"), {BUYER}),
    Action("planning.own", gettext_lazy("change your own calendar link and morning mail"), EVERYONE),
]

from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, EVERYONE, Action

ACTIONS = [
    Action("stock.parts", gettext_lazy("add and change the parts that the shop buys"), {BUYER}),
    Action("stock.move", gettext_lazy("count the shelf, take from it and put back"), EVERYONE),
    Action("stock.reserve", gettext_lazy("reserve what lies on the shelf"), EVERYONE),
]

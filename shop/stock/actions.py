from shop.base.roles import BUYER, EVERYONE, Action

ACTIONS = [
    Action("stock.parts", "add and change the parts that the shop buys", {BUYER}),
    Action("stock.move", "count the shelf, take from it and put back", EVERYONE),
    Action("stock.reserve", "reserve what lies on the shelf", EVERYONE),
]

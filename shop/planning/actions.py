from shop.base.roles import BUYER, EVERYONE, Action

ACTIONS = [
    Action("planning.see", "see what is ready and when vehicles will be done", EVERYONE),
    Action("planning.choose", "decide to wait or to buy elsewhere", {BUYER}),
    Action("planning.own", "change your own calendar link and morning mail", EVERYONE),
]

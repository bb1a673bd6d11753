from shop.base.roles import BUYER, EVERYONE, FITTER, MACHINIST, Action

ACTIONS = [
    Action("print.print", "print a card or a sheet", {FITTER, MACHINIST}),
    Action("print.read", "open what was printed", EVERYONE),
    Action("print.write", "write to a customer", {BUYER}),
]

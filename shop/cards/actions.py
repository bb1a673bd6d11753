from shop.people.roles import EVERYONE, FITTER, MACHINIST, Action

ACTIONS = [
    Action("cards.print", "print a card or a sheet", {FITTER, MACHINIST}),
    Action("cards.plate", "say how a plate is made, and leave holes out of it", {FITTER, MACHINIST}),
    Action("cards.read", "open what was printed", EVERYONE),
]

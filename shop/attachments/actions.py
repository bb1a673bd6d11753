from shop.base.roles import BUYER, FITTER, MACHINIST, Action

ACTIONS = [
    Action(
        "attachments.attach",
        "keep a document with a supplier, job, vehicle or component",
        {BUYER, FITTER, MACHINIST},
    ),
]

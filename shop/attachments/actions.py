from shop.base.language import gettext_lazy
from shop.base.roles import BUYER, FITTER, MACHINIST, Action

ACTIONS = [
    Action(
        "attachments.attach",
        gettext_lazy("keep a document with a supplier, job, vehicle or component"),
        {BUYER, FITTER, MACHINIST},
    ),
]

"""Every torque of a vehicle, to be kept with its papers."""

from shop.base.language import gettext_lazy
from shop.print.card_facts import TorqueListFacts
from shop.print.kinds import SheetKind
from shop.print.torque_facts import read_torque_list
from shop.vehicles.models import Vehicle

KIND = SheetKind(
    name="torque-list",
    title=gettext_lazy("Torque list"),
    prefix="TL",
    subject="vehicle",
    model=Vehicle,
    facts=TorqueListFacts,
    read=read_torque_list,
    drawn_by="shop.print.torque_story.torque_list",
)

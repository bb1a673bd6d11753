"""The torque sheets of a job: one for each set of fasteners that is still to be tightened."""

from shop.base.language import gettext_lazy
from shop.jobs.models import Job
from shop.print.card_facts import TorqueSheetFacts
from shop.print.kinds import SheetKind
from shop.print.torque_facts import read_torque_sheets

KIND = SheetKind(
    name="torque-sheets",
    title=gettext_lazy("Torque sheets"),
    prefix="T",
    subject="job",
    model=Job,
    facts=TorqueSheetFacts,
    read=read_torque_sheets,
    drawn_by="shop.print.torque_story.torque_sheets",
)

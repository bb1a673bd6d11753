"""The card of one step, for the bench."""

from shop.base.language import gettext_lazy
from shop.jobs.models import Step
from shop.print.card_facts import StepCardFacts
from shop.print.kinds import SheetKind
from shop.print.step_facts import read_step_card

KIND = SheetKind(
    name="step-card",
    title=gettext_lazy("Step card"),
    prefix="JS",
    subject="step",
    model=Step,
    facts=StepCardFacts,
    read=read_step_card,
    drawn_by="shop.print.step_story.step_card",
)

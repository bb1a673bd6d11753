from shop.base.language import gettext_lazy
from shop.base.roles import (
    BUYER,
    EVERYONE,
    FITTER,
    MACHINIST,
    Action,
)

ACTIONS = [
    Action("jobs.manage", gettext_lazy("open jobs and change their steps"), {FITTER}),
    Action("jobs.parts", gettext_lazy("say which parts a step needs and what is here"), {FITTER, MACHINIST, BUYER}),
    Action("jobs.decide", gettext_lazy("record a decision"), {FITTER}),
    Action("jobs.work", gettext_lazy("start, pause and finish steps"), EVERYONE),
    Action("jobs.correct", gettext_lazy("correct another person's hours")),
    Action("jobs.sign", gettext_lazy("sign off a tightening or a check"), {FITTER, MACHINIST}),
    Action("jobs.regulated", gettext_lazy("add what needs licensed approval"), {FITTER, MACHINIST}),
    Action("jobs.guard", gettext_lazy("take away what guards a step, or go on over it")),
    Action("jobs.approve", gettext_lazy("record a licensed person's approval")),
    Action("jobs.templates", gettext_lazy("change job templates and add the shipped ones"), {FITTER}),
    Action("jobs.learn", gettext_lazy("write down a lesson"), EVERYONE),
]

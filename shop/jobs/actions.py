from shop.base.roles import (
    BUYER,
    EVERYONE,
    FITTER,
    MACHINIST,
    Action,
)

ACTIONS = [
    Action("jobs.manage", "open jobs and change their steps", {FITTER}),
    Action("jobs.parts", "say which parts a step needs and what is here", {FITTER, MACHINIST, BUYER}),
    Action("jobs.decide", "record a decision", {FITTER}),
    Action("jobs.work", "start, pause and finish steps", EVERYONE),
    Action("jobs.correct", "correct another person's hours"),
    Action("jobs.sign", "sign off a tightening or a check", {FITTER, MACHINIST}),
    Action("jobs.regulated", "add what needs licensed approval", {FITTER, MACHINIST}),
    Action("jobs.guard", "take away what guards a step, or go on over it"),
    Action("jobs.approve", "record a licensed person's approval"),
    Action("jobs.templates", "change job templates and add the shipped ones", {FITTER}),
    Action("jobs.learn", "write down a lesson", EVERYONE),
]

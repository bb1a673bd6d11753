"""The first run of a shop: what a new one enters first, in order, until all of it is there, skipped or put away."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.models import PutAway, ShopDetails
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import BUYER, FITTER, MACHINIST, OWNER, may, require
from shop.base.rows import Row
from shop.base.sample import real, sample_is_in
from shop.base.unchanged import while_unchanged
from shop.jobs.models import Job
from shop.orders.models import Order
from shop.vehicles.models import Vehicle
from specs.models import Component, Measurement

ALL = "all"
"""What is put away when the whole list is."""


@dataclass(frozen=True)
class SetupStep:
    """One thing that a new shop enters: its words, the action that it takes, why, whether it is there, and where."""

    name: str
    words: str
    action: str
    why: str
    act: str
    is_there: Callable[[], bool]
    address: Callable[[], str]


@dataclass(frozen=True)
class ShownStep:
    """A step as the owner sees it: there already, skipped, or still to be done; `first` is the next one."""

    step: SetupStep
    is_there: bool
    skipped: bool
    first: bool
    address: str


def _measuring_address() -> str:
    """A component that is on record already is measured; otherwise one is added."""
    component = real(Component.objects.all()).order_by("-pk").first()
    return component.get_absolute_url() if component else reverse("measuring:component-new")


STEPS = (
    SetupStep(
        "shop",
        gettext_lazy("Shop name and address"),
        "people.manage",
        gettext_lazy("They stand at the head of every page, on printed sheets and on letters."),
        gettext_lazy("Enter address"),
        lambda: ShopDetails.objects.exists() or bool(settings.SHOP_POSTAL_ADDRESS),
        lambda: reverse("home:shop-details"),
    ),
    SetupStep(
        "people",
        gettext_lazy("People"),
        "people.manage",
        gettext_lazy("Each signs in under their own name, and sees what their role has to do."),
        gettext_lazy("Add a person"),
        lambda: real(User.objects.filter(is_active=True)).count() > 1,
        lambda: reverse("people:person-new"),
    ),
    SetupStep(
        "component",
        gettext_lazy("First component measured"),
        "measuring.measure",
        gettext_lazy(
            "An engine or a gearbox with one dimension and a reading of it: checks take their figures from there."
        ),
        "Measure",
        lambda: real(Measurement.objects.all()).exists(),
        _measuring_address,
    ),
    SetupStep(
        "vehicle",
        gettext_lazy("First vehicle"),
        "vehicles.manage",
        gettext_lazy("With its customer. Jobs are opened on a vehicle."),
        gettext_lazy("Add vehicle"),
        lambda: real(Vehicle.objects.all()).exists(),
        lambda: reverse("vehicles:vehicle-new"),
    ),
    SetupStep(
        "job",
        gettext_lazy("First job"),
        "jobs.manage",
        gettext_lazy("A job template gives it its steps, with what each waits for."),
        gettext_lazy("Add job"),
        lambda: real(Job.objects.all()).exists(),
        lambda: reverse("jobs:job-new"),
    ),
    SetupStep(
        "order",
        gettext_lazy("First order"),
        "orders.order",
        gettext_lazy("From the days that suppliers promise, and keep or miss, the site learns when parts come."),
        gettext_lazy("Add order"),
        lambda: real(Order.objects.all()).exists(),
        lambda: reverse("orders:order-new"),
    ),
)
NAMES = frozenset(step.name for step in STEPS) | {ALL}


@transaction.atomic
def put_away(name: str, *, person: User) -> None:
    """Skip a step of the first run, or with ALL the rest of it. Nothing happens when it is put away already."""
    require(person, "people.manage")
    if name not in NAMES:
        raise LookupError(gettext("the first run has no step {name}").format(name=f"{name!r}"))
    PutAway.objects.get_or_create(name=name, defaults={"person_id": person.pk})


@while_unchanged
def _state() -> tuple[frozenset[str], frozenset[str]]:
    """The names of the steps that are done, and of those put away; once the list is put away, nothing else is asked."""
    away = frozenset(PutAway.objects.values_list("name", flat=True))
    done = (step.name for step in STEPS if step.is_there()) if ALL not in away else ()
    return frozenset(done), away


def first_run(viewer: Viewer) -> Block | None:
    """What is still to be entered in a new shop; None for who may not, and once all is there, skipped or put away."""
    if not may(viewer.person, "people.manage"):
        return None
    done, away = _state()
    left = [step for step in STEPS if step.name not in done | away]
    if ALL in away or not left:
        return None
    shown = tuple(
        ShownStep(step, step.name in done, step.name in away, step is left[0], step.address()) for step in STEPS
    )
    more: dict[str, Any] = {"steps": shown, "sample_is_in": sample_is_in()}
    return Block((), len(left), "", None, more)


def begin_here(viewer: Viewer) -> Block | None:
    """What somebody else than the owner may enter in a new shop, as long as it is not there; None once nothing is."""
    if may(viewer.person, "people.manage"):
        return None
    done, away = _state()
    left = [step for step in STEPS if step.name not in done | away and may(viewer.person, step.action)]
    if ALL in away or not left:
        return None
    rows = (
        Row("ready", step.words, step.address(), step.why, act=step.act, to=step.address(), first=step is left[0])
        for step in left
    )
    return Block(tuple(rows), len(left), "")


PANEL = Panel(
    gettext_lazy("Set up your shop"),
    order=0,
    read=first_run,
    roles=frozenset({OWNER}),
    across=True,
    template="home/_first_run.html",
)
BEGIN = Panel(
    gettext_lazy("Begin here"), order=0, read=begin_here, roles=frozenset({FITTER, MACHINIST, BUYER}), across=True
)

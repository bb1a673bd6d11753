"""About fifty orders over two years, from five invented suppliers who each slip in their own way; relative to today."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from random import Random
from typing import Any

from django.contrib.auth.models import User

from shop.demo.stock import count_parts, make_parts
from shop.jobs.models import PartNeed
from shop.orders import changes
from shop.orders.models import Chase, LetterTexts, Order, OrderLine, Supplier
from shop.orders.supplier_changes import save_letter_texts
from shop.stock.models import Part

YEARS = 2


@dataclass(frozen=True)
class Habit:
    """How one supplier behaves: usual lead time in days, days late of one order, what it sells at what price."""

    name: str
    contact: str
    phone: str
    lead: int
    days_late: Callable[[Random], float]
    parts: tuple[tuple[str, str], ...]
    share: int
    excuses: tuple[str, ...] = field(default=())


FERRANT = Habit(
    "Ferrant Driveline Supply",
    "Odile Marsh",
    "+44 1632 960 114",
    21,
    lambda rng: rng.expovariate(1 / 18) - 4,
    (("clutch disc 240 mm", "142.00"), ("pressure plate 240 mm", "186.50"), ("release bearing", "58.20")),
    22,
    ("the maker has put us back again", "it missed the lorry", "our stock list was wrong"),
)
OLMSTEAD = Habit(
    "Olmstead Castings",
    "Per Olmstead",
    "+44 1632 960 127",
    45,
    lambda rng: rng.gammavariate(2.2, 24),
    (("bellhousing casting, rough", "390.00"), ("crossmember foot, cast", "74.00")),
    6,
    (
        "the core shifted, we pour again",
        "the foundry is behind",
        "pattern is at the maker's",
        "furnace is being relined",
    ),
)
NUVO = Habit(
    "Nuvo Splines",
    "Rika Anand",
    "+44 1632 960 139",
    28,
    lambda rng: rng.lognormvariate(2.2, 0.9) - 3,
    (("input shaft, splined 26", "310.00"), ("slip yoke", "164.00"), ("propshaft shortened and balanced", "275.00")),
    7,
    ("the hob is worn and a new one is due", "hardening takes another week"),
)
PELLWORTH = Habit(
    "Pellworth Hydraulics",
    "Sam Tarrow",
    "+44 1632 960 143",
    10,
    lambda rng: rng.choice((-2, -1, 0, 0, 0, 1, 3, 9)),
    (("clutch master cylinder 19.05 mm", "64.90"), ("slave cylinder", "71.30"), ("braided hose, 900 mm", "28.40")),
    6,
    ("one seal kit is short",),
)
QUARRY_LANE = Habit(
    "Quarry Lane Fasteners",
    "",
    "+44 1632 960 158",
    5,
    lambda rng: rng.choice((-1, 0, 0, 0, 0, 2)),
    (("flywheel bolts M10×1.25 10.9, set of 8", "21.60"), ("dowels 12 m6, pair", "6.40"), ("studs M10, set", "17.80")),
    5,
    ("wrong length picked",),
)
HABITS = (FERRANT, OLMSTEAD, NUVO, PELLWORTH, QUARRY_LANE)
# Where letters go, and our customer number there.
ADDRESSES = {
    "Ferrant Driveline Supply": ("22 Quay Road\nPort Linnet PL1 4AB", "DW-4471"),
    "Olmstead Castings": ("Foundry Lane 3\nOlmstead OL2 9QT", "10384"),
    "Nuvo Splines": ("Unit 7, Tannery Park\nHarrow Ferry HF6 2LD", "C-2206"),
    "Pellworth Hydraulics": ("81 Sluice Street\nPellworth PW4 1NE", "DRIVE-09"),
    "Quarry Lane Fasteners": ("Quarry Lane 12\nLinnet Bridge LB3 8RA", ""),
}
LANGUAGES = {"Nuvo Splines": "French"}
FRENCH = (
    "Madame, Monsieur,\n\n"
    "merci de nous indiquer quand les pièces ci-dessous seront expédiées. Le détail suit en anglais."
)


def make(world: Any) -> None:
    """Write the suppliers, their past orders, and the open orders that the demo's jobs wait for."""
    if Order.objects.exists():
        return
    wren = world.people["wren"]
    suppliers = {habit.name: _supplier(habit, wren) for habit in HABITS}
    save_letter_texts(LetterTexts(language="French", chase=FRENCH), person=wren)
    parts = make_parts(suppliers, person=wren)
    stories = [_past(habit, world.chance, world.today) for habit in HABITS for _ in range(habit.share)]
    stories += [_came_very_late(*one, world.chance, world.today) for one in VERY_LATE]
    stories += _still_open(world.today)
    for story in sorted(stories, key=lambda story: story.ordered_on):
        _tell(story, suppliers[story.habit.name], parts, wren, world.today)
    count_parts(parts, person=wren, today=world.today)


def _supplier(habit: Habit, person: User) -> Supplier:
    address = f"sales@{habit.name.lower().replace(' ', '-')}.example"
    place, account = ADDRESSES[habit.name]
    supplier = Supplier(
        name=habit.name, contact=habit.contact, phone=habit.phone, email=address, address=place, account=account,
        terms="30 days net", delivery_days=habit.lead, language=LANGUAGES.get(habit.name, ""),
    )  # fmt: skip
    return changes.save_supplier(supplier=supplier, person=person)


@dataclass(frozen=True)
class Story:
    """One order: when it was placed, what of, first promised when, put off to which days, here when (None: open)."""

    habit: Habit
    ordered_on: date
    parts: tuple[tuple[str, str, PartNeed | None], ...]
    promised: date
    put_off: tuple[tuple[date, date, str], ...]
    came_on: date | None
    chased: tuple[tuple[date, str, int], ...] = ()


VERY_LATE = (
    (OLMSTEAD, -640, 168),
    (OLMSTEAD, -380, 95),
    (FERRANT, -430, 58),
    (FERRANT, -330, 64),
    (FERRANT, -610, 49),
)
"""Past orders that came very late: when placed, in days from today, and so many days after the day first promised.

They reach beyond what is late now, so that the record has a date for it.
"""


def _came_very_late(habit: Habit, placed: int, late: int, rng: Random, today: date) -> Story:
    ordered_on = today + timedelta(days=placed)
    promised = ordered_on + timedelta(days=habit.lead)
    came_on = promised + timedelta(days=late)
    parts = tuple((text, price, None) for text, price in habit.parts[:1])
    return Story(habit, ordered_on, parts, promised, tuple(_put_off(promised, came_on, habit, rng)), came_on)


def _past(habit: Habit, rng: Random, today: date) -> Story:
    late = round(habit.days_late(rng))
    # The whole story lies in the past: ordered early enough to have come by now.
    latest = habit.lead + max(late, 0) + 20
    ordered_on = today - timedelta(days=rng.randint(latest, max(latest, YEARS * 365)))
    promised = ordered_on + timedelta(days=habit.lead + rng.randint(-3, 7))
    came_on = max(promised + timedelta(days=late), ordered_on + timedelta(days=2))
    count = rng.randint(1, min(3, len(habit.parts)))
    parts = tuple((text, price, None) for text, price in rng.sample(habit.parts, count))
    return Story(habit, ordered_on, parts, promised, tuple(_put_off(promised, came_on, habit, rng)), came_on)


def _put_off(promised: date, came_on: date, habit: Habit, rng: Random) -> Iterator[tuple[date, date, str]]:
    """Each time the day draws near, another one is named; the last before it came was right, or nearly."""
    said_for = promised
    while (came_on - said_for).days > 6:
        said_on = said_for - timedelta(days=rng.randint(0, 2))
        said_for += timedelta(days=min(rng.choice((7, 10, 14, 21)), (came_on - said_for).days))
        yield said_on, said_for, rng.choice(habit.excuses)


@dataclass(frozen=True)
class DemoAwaited:
    """An order still open, in days from today: placed, first promised for, then put off to; asked so many days ago."""

    placed: int
    promised: int
    put_off: tuple[int, ...] = ()
    asked: int = 0


WAITING = (
    DemoAwaited(-62, -37, (-23, -9), asked=6),
    DemoAwaited(-94, -44, (-33, -21, -9), asked=15),
    DemoAwaited(-45, -15, (11,)),
    DemoAwaited(-20, -8),
    DemoAwaited(-30, -6),
    DemoAwaited(-3, 6),
    DemoAwaited(-75, -27, (16,), asked=4),
    DemoAwaited(-41, -9, (-3,)),
    DemoAwaited(-9, -3),
)

EARLY = ("Manual gearbox",)
"""What was ordered before the rest of its job's parts, since it is long on the way."""

TRADES = (
    (NUVO, ("shaft", "spline", "yoke", "joint")),
    (PELLWORTH, ("cylinder", "hose", "pipe", "fluid", "reservoir")),
    (OLMSTEAD, ("casting", "housing", "plate", "crossmember", "mount", "bracket")),
    (QUARRY_LANE, ("bolt", "dowel", "stud", "screw", "nut")),
)
"""Who sells what, by a word of its name; all else comes from Ferrant."""


def _seller(what: str) -> Habit:
    return next((habit for habit, words in TRADES if any(word in what.lower() for word in words)), FERRANT)


def _still_open(today: date) -> list[Story]:
    """Orders for what the demo's jobs wait for, most of them overdue; where nothing waits, for the shelf."""
    needs = list(PartNeed.objects.active().filter(step__finished_at=None, here_on=None).select_related("component"))
    first = sorted(needs[: len(WAITING) - len(EARLY)] + [need for need in needs if need.text in EARLY], key=needs.index)
    wanted = [(_seller(str(need)), need) for need in first] or [(habit, None) for habit in HABITS]
    return [_waiting(habit, waiting, need, today) for (habit, need), waiting in zip(wanted, WAITING, strict=False)]


def _waiting(habit: Habit, waiting: DemoAwaited, need: PartNeed | None, today: date) -> Story:
    text, price = habit.parts[-waiting.placed % len(habit.parts)]
    named = (waiting.promised, *waiting.put_off)
    put_off = [
        (today + timedelta(days=min(before, 0)), today + timedelta(days=after), habit.excuses[n % len(habit.excuses)])
        for n, (before, after) in enumerate(pairwise(named))
    ]
    asked = ((today - timedelta(days=waiting.asked), habit.excuses[0], 7),) if waiting.asked else ()
    return Story(
        habit,
        today + timedelta(days=waiting.placed),
        ((need.text if need else text, price, need),),
        today + timedelta(days=waiting.promised),
        tuple(put_off),
        None,
        asked,
    )


def _tell(story: Story, supplier: Supplier, parts: dict[str, Part], person: User, today: date) -> Order:
    order = Order(
        supplier=supplier, ordered_on=story.ordered_on, reference=f"{supplier.name[:2].upper()}-{story.ordered_on:%y%j}"
    )
    written = [_line(*part, parts) for part in story.parts]
    changes.place_order(order=order, lines=written, person=person, today=today)
    lines = list(OrderLine.objects.filter(order=order).with_story())
    for said_on, said_for, words in ((story.ordered_on, story.promised, ""), *story.put_off):
        changes.record_promise(
            lines=lines, given_on=said_on, earliest=said_for, latest=said_for, words=words,
            said_by=story.habit.contact, person=person, today=today,
        )  # fmt: skip
    for asked_on, answer, again in story.chased:
        ask_again = asked_on + timedelta(days=again)
        chase = Chase(order=order, on=asked_on, answer=answer, answered_on=asked_on, ask_again_on=ask_again)
        changes.record_chase(chase=chase, person=person, today=today)
    if story.came_on:
        for line in lines:
            changes.record_delivery(line=line, on=story.came_on, quantity=line.quantity, person=person, today=today)
    return order


def _line(text: str, price: str, need: PartNeed | None, parts: dict[str, Part]) -> OrderLine:
    component = need.component if need else None
    part = None if component else parts.get(text)
    quantity = need.quantity if need else Decimal(1)
    return OrderLine(
        component=component,
        text="" if component else text,
        part=part,
        quantity=quantity,
        price=Decimal(price),
        part_need=need,
    )

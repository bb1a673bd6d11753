"""A joint of the plate with and without the bolts that cannot be used: through the bolt group's own declaration."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from math import atan2, hypot
from types import MappingProxyType
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext

from shop.base.language import gettext_lazy, word
from shop.base.unchanged import while_unchanged
from shop.calculate.answer_text import Presented, present, show
from shop.plate.layout import PlateLayout
from shop.torque.rules import advice
from shop.torque.text import torque_text
from shop.worksheets.models import Worksheet
from shop.worksheets.today import states_today
from specs.engine.answer import Answer
from specs.engine.calculation import find
from specs.engine.checks import Check
from specs.engine.entry import solve
from specs.engine.fields import fields_of
from specs.engine.units import FORCE, System
from specs.engine.units import show as show_quantity
from specs.models import TorqueSpec
from specs.plate.machining import FaceHole, turned
from specs.plate.sides import Side
from specs.standards import threads

# A torque wrench's preload where no range of friction was given (common practice, no source).
_SCATTER = 0.30
JOINTS = {Side.ENGINE: gettext_lazy("plate to engine"), Side.GEARBOX: gettext_lazy("gearbox to plate")}
# What no figure of the bolt group tells about a bolt that is missing.
BY_A_PERSON = (
    gettext_lazy("Look for the reason why the maker put a bolt there: sealing, a bracket, an earth strap, noise."),
    gettext_lazy(
        "With all other bolts tight, feel for a gap beside the place that is left out: 0.05 mm feeler, all round."
    ),
    gettext_lazy("See that neither face is cracked, bent or fretted beside it, and look again after the first run."),
    gettext_lazy(
        "See that no wire, hose or shield hangs on that bolt, and that the empty hole in the face is closed against "
        "dirt."
    ),
    gettext_lazy(
        "Where gearbox mount or starter load this joint, or rules ask for every bolt, ask a licensed engineer."
    ),
)


@dataclass(frozen=True)
class Preload:
    """A preload on record for bolts of this thread [N]: from which torque spec or worksheet, in words.

    known_least: the least that was worked out over the range of friction, settled where that is known; None where
    friction leaves it open.
    """

    key: str
    words: str
    force: float
    known_least: float | None = None

    @property
    def least(self) -> float:
        """What the tightening surely gives: what is known of it, else less the scatter of a torque wrench."""
        return self.force * (1 - _SCATTER) if self.known_least is None else max(self.known_least, 0.0)

    @property
    def why_less(self) -> str:
        if self.known_least is None:
            return gettext("less 30 % for the scatter of a torque wrench")
        return gettext("its least over the range of friction")


@dataclass(frozen=True)
class Compared:
    """One result of the joint with all bolts and with the rest."""

    label: str
    all_bolts: str
    the_rest: str
    differs: bool


@dataclass(frozen=True)
class PlateJoint:
    """One joint's bolts (with those left out) and dowels, turned to where they stand."""

    side: Side
    bolts: tuple[FaceHole, ...]
    dowels: tuple[FaceHole, ...]
    left_out: tuple[str, ...]

    @property
    def words(self) -> str:
        return JOINTS[self.side]

    @property
    def thread(self) -> str:
        return next((bolt.thread for bolt in self.bolts if bolt.thread), "")

    def request(
        self,
        preload: float,
        torque: float,
        mu: float,
        dowel_strength: float,
        omit: tuple[str, ...],
        dowel_seat: Mapping[str, float] = MappingProxyType({}),
    ) -> Any:
        """The bolt group's request, numbers in SI but lengths, which it takes in mm.

        dowel_seat: `length` of the dowels in the softer part [mm] and the `bearing_strength` it stands [MPa], if known.
        """
        bolts = [{"name": b.name, "x": b.x, "y": b.y, "preload": preload} for b in self.bolts]
        dowels = [
            {"name": d.name, "x": d.x, "y": d.y, "diameter": d.diameter, "shear_strength": dowel_strength / 1e6}
            for d in self.dowels
        ]
        usual = {"bolts": bolts, "torque": torque, "mu": mu, "omit": list(omit)}
        if len(dowels) < 2:
            return usual
        return {**usual, "dowels": [{**dowel, **dowel_seat} for dowel in dowels]}


def joint_of(plate: PlateLayout, side: Side) -> PlateJoint:
    """The bolts that hold the plate to a side's part; a hole that is left out belongs to them."""
    turn = plate.rotation if side is Side.GEARBOX else 0.0
    holes = [turned(hole, turn) for hole in (*plate.holes[side], *plate.omitted[side])]
    gone = {hole.name for hole in plate.omitted[side]}
    bolts = tuple(hole for hole in holes if hole.kind != "dowel")
    dowels = tuple(hole for hole in holes if hole.kind == "dowel" and hole.name not in gone)
    return PlateJoint(side, bolts, dowels, tuple(bolt.name for bolt in bolts if bolt.name in gone))


def preloads(plate: PlateLayout, joint: PlateJoint) -> list[Preload]:
    """Preloads on record for this joint's thread: torque specs and torque worksheets of engine, gearbox and plate."""
    patterns = [plate.pattern(side) for side in Side]
    keys = [*(pattern.component_id for pattern in patterns if pattern), plate.worksheet.component_id]
    return _preloads(tuple(sorted({key for key in keys if key is not None})), joint.thread, timezone.localdate())


@while_unchanged
def _preloads(parts: tuple[int, ...], thread: str, today: date) -> list[Preload]:
    specs = TorqueSpec.objects.active().filter(component__in=parts).select_related("component")
    alike = [spec for spec in specs if _is_thread(spec.thread, thread)]
    return [*_of_specs(alike), *_of_worksheets(parts, thread, today)]


def _is_thread(designation: str, wanted: str) -> bool:
    try:
        return bool(wanted) and threads.find(designation) == threads.find(wanted)
    except threads.UnknownThread:
        return False


def _of_specs(specs: list[TorqueSpec]) -> Iterator[Preload]:
    for spec in specs:
        said = advice(spec)
        if said.calculated is None or said.torque is None or said.seats_only:
            continue
        found = said.calculated.answer.found
        basis = gettext("published torque") if said.published else gettext("calculated torque")
        least = gettext("at least {show_quantity}").format(show_quantity=show_quantity(found.preload_least, FORCE))
        words = f"{spec}, {basis} {torque_text(said.torque)}: {least}"
        yield Preload(f"spec-{spec.pk}", words, found.preload_greatest, found.preload_least)


def _of_worksheets(parts: tuple[int, ...], thread: str, today: date) -> Iterator[Preload]:
    sheets = Worksheet.objects.active().filter(component__in=parts, calculation="fastener-torque")
    for state in states_today(tuple(sheet.pk for sheet in sheets), today).values():
        if state.found is not None and _is_thread(state.given.thread, thread):
            found = state.found
            least = found.preload_least if found.clamp_least is None else found.clamp_least
            said = gettext("worksheet “{worksheet}”: {show_quantity}").format(
                worksheet=state.worksheet, show_quantity=show_quantity(found.preload, FORCE)
            )
            yield Preload(f"sheet-{state.worksheet.pk}", said, found.preload, least)


def worked_out(request: Any) -> Answer:
    """Solve the bolt group. Raises BadInput in words."""
    calculation = find("bolt-group")
    assert calculation is not None
    return solve(calculation, request)


def compared(every: Answer, rest: Answer, system: System) -> list[Compared]:
    """Both answers side by side, result by result, then check by check."""
    found = []
    for name, field in fields_of(every.calculation.outputs).items():
        one, two = getattr(every.found, name), getattr(rest.found, name)
        if one is not None and two is not None:
            shown = show(field, one, system), show(field, two, system)
            found.append(Compared(field.label, *shown, shown[0] != shown[1]))
    verdicts = {check.name: _verdict(check) for check in rest.checks}
    for check in every.checks:
        said = [_verdict(check), verdicts.get(check.name, gettext("not there"))]
        found.append(
            Compared(
                gettext("Check: {name}").format(name=str(check.name).lower()), said[0], said[1], said[0] != said[1]
            )
        )
    return found


def _verdict(check: Check) -> str:
    if check.passed is None:
        return gettext("not known")
    return word("holds" if check.passed else "fails")


def shown_rest(rest: Answer, system: System) -> Presented:
    """The joint without the bolts left out, with its working and picture."""
    return present(rest.calculation, rest.given, rest.found, system)


def neighbours(joint: PlateJoint, gone: str) -> tuple[str, str, float] | None:
    """The two bolts on either side of a missing one round the joint, and how far apart they are [mm]."""
    round_it = sorted(joint.bolts, key=lambda bolt: atan2(bolt.y, bolt.x))
    at = next(k for k, bolt in enumerate(round_it) if bolt.name == gone)
    kept = [round_it[(at + k) % len(round_it)] for k in range(1, len(round_it))]
    kept = [bolt for bolt in kept if bolt.name not in joint.left_out]
    if len(kept) < 2:
        return None
    after, before = kept[0], kept[-1]
    return before.name, after.name, hypot(before.x - after.x, before.y - after.y)

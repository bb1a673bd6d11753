"""Reading a plate: the worksheet that lays both patterns on one plate, how it is made, and what is left out of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.plate.models import OmittedHole, PlateMaking
from shop.worksheets.bindings import mirrored_sign, resolve
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.models import Worksheet, WorksheetInput
from shop.worksheets.plate_cut import PLATE, face_holes
from specs.engine.answer import Answer, solve_given
from specs.engine.calculation import Calculation
from specs.engine.entry import read
from specs.engine.fields import fields_of
from specs.engine.units import ANGLE, LENGTH
from specs.geometry.points import Point
from specs.geometry.windows import Window
from specs.models import HolePattern
from specs.phrase import joined
from specs.plate.dowel_play import placed_worse_than_play
from specs.plate.laid_out import plate_outline, plate_windows
from specs.plate.machining import FaceHole, PlateHole, opposite, plate_holes, unnamed_bolts
from specs.plate.sides import Side, plate_name

NOT_A_PLATE = gettext_lazy(
    "Set-up sheets and templates are made of a worksheet that lays out a plate; this one does not."
)


@dataclass(frozen=True)
class PlateLayout:
    """A plate as it stands today. `holes` are those that the plate is to have, by side, before the gearbox is turned.

    Holes that are left out stand apart in `omitted`. Lengths in mm, seen from the gearbox side; rotation in degrees.
    """

    state: EvaluatedWorksheet
    making: PlateMaking
    left_out: tuple[OmittedHole, ...]
    holes: dict[Side, tuple[FaceHole, ...]]
    omitted: dict[Side, tuple[FaceHole, ...]]

    @property
    def worksheet(self) -> Worksheet:
        return self.state.worksheet

    @property
    def given(self) -> Any:
        return self.state.given

    @property
    def calculation(self) -> Calculation[Any, Any]:
        assert self.state.calculation is not None
        return self.state.calculation

    @property
    def thickness(self) -> float:
        return LENGTH.from_si(self.given.thickness)

    @property
    def rotation(self) -> float:
        return ANGLE.from_si(self.given.rotation)

    @property
    def outline(self) -> tuple[Point, ...]:
        """The plate's own outline [mm]: the face's, turned and moved out as the worksheet says."""
        return tuple((LENGTH.from_si(x), LENGTH.from_si(y)) for x, y in plate_outline(self.given))

    @property
    def windows(self) -> tuple[Window, ...]:
        """The windows [m]."""
        return plate_windows(self.given)

    @cached_property
    def machined(self) -> tuple[PlateHole, ...]:
        """Every hole with its operations. Raises ValidationError where the tables lack a thread."""
        return _in_words(
            lambda: plate_holes(self.holes[Side.ENGINE], self.holes[Side.GEARBOX], self.rotation, self.thickness)
        )

    @property
    def unnamed_bolts(self) -> list[str]:
        """The plate's names of the holes of which nobody said which bolt goes through them."""
        return [plate_name(side, name) for side in Side for name in unnamed_bolts(self._asked_for(side))]

    @property
    def dowels_misplaced(self) -> str:
        """Why the dowels of both faces cannot be reamed to their readings, and the way out; empty where they can."""
        pairs = [[hole for hole in self.holes[side] if hole.kind == "dowel"] for side in Side]
        if not self.dowels_in_doubt or min(map(len, pairs)) < 2:
            return ""
        return gettext(
            "The dowels of both faces cannot be reamed to readings ({dowels_in_doubt}). Say on the hole pattern "
            "how well its places are known, or leave the dowels of one face out of the plate, as drilled and reamed "
            "in assembly: after the run-out sweep, between trial fit and final assembly."
        ).format(dowels_in_doubt=self.dowels_in_doubt)

    @property
    def dowels_in_doubt(self) -> str:
        """Which dowels are placed worse than their play, by the plate's names; empty where none are."""
        named = ([replace(hole, name=plate_name(side, hole.name)) for hole in self.holes[side]] for side in Side)
        return joined("; ", filter(None, map(placed_worse_than_play, named)))

    def _asked_for(self, side: Side) -> tuple[FaceHole, ...]:
        # A typed table that has no column for the bolt cannot be asked for it.
        typed = self.pattern(side) is None
        return () if typed and not hasattr(getattr(self.given, side.value)[0], "bolt") else self.holes[side]

    def pattern(self, side: Side) -> HolePattern | None:
        """The measured face that a side's holes are taken from, where they are not typed."""
        bound = {held.path: held.pattern for held in self.worksheet.inputs.all()}
        return bound.get(side.value)

    def as_cut(self, **changes: Any) -> Answer:
        """The worksheet's own calculation over the holes as cut: with seats for heads, less those left out.

        changes: inputs to set otherwise, SI. Raises BadInput.
        """
        cut = {side.value: tuple(map(self._row, self.holes[side])) for side in Side}
        return solve_given(self.calculation, replace(self.given, **cut, **changes))

    def _row(self, hole: FaceHole) -> Any:
        row = fields_of(self.calculation.inputs)["engine"].row
        assert row is not None
        lengths = {name: LENGTH.to_si(getattr(hole, name)) for name in ("x", "y", "diameter", "head_diameter")}
        return row(name=hole.name, kind=hole.kind, bolt=hole.thread, **lengths)


def making_of(worksheet: Worksheet) -> PlateMaking:
    """How a plate is made: what somebody kept, else the usual."""
    return PlateMaking.objects.filter(worksheet=worksheet).first() or PlateMaking(worksheet=worksheet)


def read_state(state: EvaluatedWorksheet) -> PlateLayout:
    """What is on record of a plate. Raises ValidationError, in words, where it cannot be worked out."""
    if state.worksheet.calculation != PLATE:
        raise ValidationError(NOT_A_PLATE)
    if state.given is None:
        said = " ".join(f"{label}: {why}" for label, why in state.problems)
        raise ValidationError(gettext("The plate cannot be worked out today. {said}").format(said=said))
    making = making_of(state.worksheet)
    left_out = tuple(state.worksheet.left_out.active().select_related("person"))
    bound = {held.path: held for held in state.worksheet.inputs.all()}
    assert state.calculation is not None
    whole = read(state.calculation, resolve(state.calculation, bound.values()).request)
    sure = _typed_doubts(state)
    wanted = _in_words(
        lambda: {side: _side(bound.get(side.value), getattr(whole, side), side, making, sure) for side in Side}
    )
    out = {(entry.side, entry.hole) for entry in left_out}
    holes, omitted = (
        {side: tuple(h for h in wanted[side] if ((side.value, h.name) in out) is gone) for side in Side}
        for gone in (False, True)
    )
    return PlateLayout(state, making, left_out, holes, omitted)


def _in_words(work: Any) -> Any:
    try:
        return work()
    except ValueError as wrong:
        raise ValidationError(
            gettext("A hole's thread cannot be machined from the tables: {wrong}").format(wrong=wrong)
        ) from None


def _side(
    held: WorksheetInput | None,
    given: Iterable[Any],
    side: Side,
    making: PlateMaking,
    sure: Mapping[tuple[str, str], float],
) -> list[FaceHole]:
    """A face's measured pattern asks for its opposite in the plate; typed rows are the plate's own holes."""
    if held is not None and held.pattern is not None:
        holes = face_holes(held.pattern, mirrored_sign(held.pattern))
        return [opposite(hole, making.head_of(plate_name(side, hole.name))) for hole in holes]
    return [replace(_typed(hole), uncertainty=sure.get((side, hole.name))) for hole in given]


def _typed(hole: Any) -> FaceHole:
    lengths = {name: LENGTH.from_si(getattr(hole, name)) for name in ("x", "y", "diameter", "head_diameter")}
    bolt = getattr(hole, "bolt", "")
    return FaceHole(name=hole.name, kind=hole.kind, thread=bolt, **lengths)


def _typed_doubts(state: EvaluatedWorksheet) -> dict[tuple[str, str], float]:
    """How well the places of typed holes are known [mm], by side and name, where x and y were both typed with a ±."""
    assert state.resolved is not None
    origins = {origin.path: origin for origin in state.resolved.origins}
    found = {}
    for path, origin in origins.items():
        side, _, column = path.partition(".")
        places = [origins.get(f"{path[: -len('name')]}{axis}") for axis in "xy"]
        halves = [place.tolerance for place in places if place and place.tolerance]
        if side in tuple(Side) and column.endswith(".name") and len(halves) == 2:
            found[side, origin.words] = LENGTH.from_si(max(halves))
    return found

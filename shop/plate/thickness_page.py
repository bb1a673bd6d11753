"""What a page says of a plate's thickness, in plain values: kept, every reader is given the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.base.rows import Row
from shop.base.unchanged import while_unchanged
from shop.calculate.answer_text import Presented, present
from shop.calculate.verdict_text import VerdictText
from shop.plate.axial_stacks import missing, stack_of, thickness_dimension
from shop.plate.kept_layout import layout_today
from shop.plate.layout import PlateLayout
from shop.plate.thickness_text import InStack, need_row, shown_needs, stack_rows, thickness_verdict
from specs.engine.units import System
from specs.models import Dimension
from specs.plate.sides import Side, plate_name
from specs.plate.thickness import ThicknessNeed, needs


@dataclass(frozen=True)
class MeasuredAs:
    """The dimension that the thickness is taken from, as a page names it and leads to it."""

    name: str
    address: str
    component: int


@dataclass(frozen=True)
class ThicknessPage:
    """How thick the plate is [m], of what it is made, and what it must hold; each worksheet of its axial stack with the
    rows of its checks, and what of the stack no worksheet follows."""

    thickness: float
    dimension: MeasuredAs | None
    alloy: str
    heads: str
    grade: str
    floor: float
    verdict: VerdictText
    needs: tuple[Row, ...]
    answers: tuple[tuple[str, Presented], ...]
    cautions: tuple[str, ...]
    stack: tuple[tuple[InStack, list[Row]], ...]
    missing: tuple[tuple[str, str], ...]


@while_unchanged
def thickness_page(pk: int, system: System, today: date) -> ThicknessPage:
    """Judge the thickness of the plate that a worksheet lays out. Raises ValidationError, in words, where the plate
    cannot be worked out."""
    plate = layout_today(pk, today)
    making, dimension = plate.making, thickness_dimension(plate)
    found = _needs(plate)
    needed, answers = shown_needs(plate, found), _answers(found, system)
    stack = stack_of(dimension.pk, system, today) if dimension else []
    lacking = missing(stack)
    return ThicknessPage(
        thickness=plate.given.thickness,
        dimension=_measured_as(dimension) if dimension else None,
        alloy=making.alloy,
        heads=making.heads,
        grade=making.grade,
        floor=making.floor,
        verdict=thickness_verdict(plate, needed, stack, not lacking, system),
        needs=tuple(need_row(one, system) for one in needed),
        answers=answers,
        cautions=tuple(dict.fromkeys(said for _, presented in answers for said in presented.cautions)),
        stack=tuple((one, stack_rows(one)) for one in stack),
        missing=tuple(lacking),
    )


def _needs(plate: PlateLayout) -> tuple[ThicknessNeed, ...]:
    holes = [(plate_name(side, hole.name), hole) for side in Side for hole in plate.holes[side]]
    making = plate.making
    return needs(holes, plate.thickness, making.alloy, making.grade, making.floor)


def _answers(found: tuple[ThicknessNeed, ...], system: System) -> tuple[tuple[str, Presented], ...]:
    return tuple(
        (need.what, present(need.answer.calculation, need.answer.given, need.answer.found, system))
        for need in found
        if need.answer
    )


def _measured_as(dimension: Dimension) -> MeasuredAs:
    return MeasuredAs(str(dimension), dimension.get_absolute_url(), dimension.component_id)

"""A calculation that exists only in tests: a stack of plates under a load, using every form of input and output."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    choice,
    name_list_result,
    names,
    number_list_result,
    pair_list_result,
    quantities,
    quantity,
    records,
    result,
    results,
    table_result,
    text,
    text_result,
    whole,
)
from specs.engine.checks import Check, at_least, at_most
from specs.engine.units import (
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
)
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Plate:
    """One plate of the stack."""

    name: str = text("Name")
    thickness: float = quantity(LENGTH, "Thickness", above=0)
    share: float = quantity(RATIO, "Share", default=0.5, at_least=0, at_most=1)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Everything a calculation can ask for."""

    force: float = quantity(FORCE, "Force", symbol="F", at_least=0, below=1e9)
    side: float = quantity(LENGTH, "Side", symbol="a", above=0, at_most=2000)
    plates: tuple[Plate, ...] = records(Plate, "Plates")
    gaps: tuple[float, ...] = quantities(LENGTH, "Gaps", default=(1, 2), at_least=2, above=0)
    count: int = whole("Stacks", symbol="n", default=1, at_most=9)
    finish: str = choice("Finish", ("plain", "ground"), default="plain")
    mark: str = text("Mark", default="-")
    left_out: tuple[str, ...] = names("Left out", default=())
    limit: float | None = quantity(STRESS, "Limit", symbol="p_lim", above=0, optional=True)


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of the table."""

    name: str = text_result("Name")
    thickness: float = result(LENGTH, "Thickness")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Everything a calculation can answer."""

    pressure: float = result(STRESS, "Pressure", symbol="p")
    height: float = result(LENGTH, "Height", symbol="h")
    spare: float | None = result(STRESS, "Spare", optional=True)
    gaps: tuple[float, ...] = results(LENGTH, "Gaps")
    thickest: str = text_result("Thickest")
    order: tuple[int, ...] = number_list_result("Order")
    kept: tuple[str, ...] = name_list_result("Kept")
    pairs: tuple[tuple[str, str], ...] = pair_list_result("Neighbours")
    table: tuple[Row, ...] = table_result(Row, "Table")


def solve(given: Inputs) -> Outputs:
    """Pressure p [Pa] = F/a²; height h [m] = Σ thickness · n."""
    kept = tuple(plate.name for plate in given.plates if plate.name not in given.left_out)
    if not kept:
        raise Refused("left_out", "leaves no plate")
    if given.mark == "divide":
        raise ZeroDivisionError
    return Outputs(
        pressure=given.force / given.side**2,
        height=sum(plate.thickness for plate in given.plates) * given.count,
        spare=given.limit - given.force / given.side**2 if given.limit else None,
        gaps=given.gaps,
        thickest=max(given.plates, key=lambda plate: plate.thickness).name,
        order=tuple(range(1, given.count + 1)),
        kept=kept,
        pairs=tuple(zip(kept, kept[1:], strict=False)),
        table=tuple(Row(name=plate.name, thickness=plate.thickness) for plate in given.plates),
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Two lines."""
    yield WorkingStep("p = F / a**2", note="load over the face")
    total = sum(plate.thickness for plate in given.plates)
    yield WorkingStep("h = n * t", {"t": (total, LENGTH)})


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """The limit that the person gave, and a height of 10 mm."""
    if given.limit is not None:
        yield at_most("pressure", found.pressure, given.limit, "pressure against the limit given")
    yield at_least("height", found.height, 0.010, "height against 10 mm")


SAMPLE = Calculation(
    title="Sample",
    question="Does it stand?",
    area="Tests",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=lambda given, found: ("Tall.",) if found.height > 0.05 else (),
    example={"force": 1000, "side": 100, "plates": [{"name": "A", "thickness": 10}]},
    cautions=("Stand clear.",),
    sources=(Source("Statics", "general"),),
    limits=("None.",),
    name="sample",
)

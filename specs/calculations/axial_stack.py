"""The gap at the end of a chain of lengths: nominal, at worst, and as root sum of squares."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum, hypot

from specs.drawings.primitives import Drawing, Item, Role
from specs.drawings.sections import sheet
from specs.drawings.tolerance_chain import ChainLink, Stray, chain_of, strays
from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    quantity,
    records,
    result,
    text,
    text_result,
    whole,
)
from specs.engine.checks import Check, at_least, at_most, not_known
from specs.engine.units import LENGTH, show
from specs.phrase import phrase
from specs.standards.publications import Source

_NOUGHT = 1e-12  # m: what rounding leaves of a sum that is 0
_DRAWN = 16
_WRITTEN = 12


@dataclass(frozen=True, kw_only=True)
class Contributor:
    """One length of the chain; +1 where more of it opens the gap, −1 where it closes it."""

    name: str = text(phrase("Name"))
    nominal: float = quantity(LENGTH, phrase("Nominal length"))
    tolerance: float = quantity(LENGTH, phrase("Tolerance (±)"), at_least=0)
    sign: int = whole(phrase("Sign (1 opens, -1 closes)"), at_least=-1, at_most=1)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The lengths in order along the axis, and what the gap must keep within."""

    contributors: tuple[Contributor, ...] = records(
        Contributor,
        phrase("Lengths of the chain"),
        help=phrase(
            "go round the loop from one side of the gap to the other: +1 along the opening direction, -1 against it"
        ),
    )
    minimum: float | None = quantity(LENGTH, phrase("Least gap allowed"), symbol="G_min", optional=True, group="Limits")
    maximum: float | None = quantity(
        LENGTH, phrase("Greatest gap allowed"), symbol="G_max", optional=True, group="Limits"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """A negative gap means that the parts foul."""

    gap: float = result(LENGTH, phrase("Nominal gap"), symbol="G")
    worst_minimum: float = result(LENGTH, phrase("Least gap, worst case"), symbol="W_min")
    worst_maximum: float = result(LENGTH, phrase("Greatest gap, worst case"), symbol="W_max")
    rss_minimum: float = result(LENGTH, phrase("Least gap, root sum of squares"), symbol="R_min")
    rss_maximum: float = result(LENGTH, phrase("Greatest gap, root sum of squares"), symbol="R_max")
    largest_contributor: str = text_result(phrase("Largest tolerance comes from"))


def solve(given: Inputs) -> Outputs:
    """Gap G = Σ s·L; worst case G ± Σ t; root sum of squares G ± √(Σ t²), lengths L and tolerances t [m], s = ±1.

    Raises Refused for a sign of 0, and where the greatest gap allowed is less than the least.
    """
    if given.minimum is not None and given.maximum is not None and given.maximum < given.minimum:
        raise Refused("maximum", phrase("must be at least the least gap allowed."))
    for contributor in given.contributors:
        if contributor.sign == 0:
            raise Refused("contributors", phrase('"{name}": the sign must be 1 or -1.', name=contributor.name))
    gap = fsum(c.sign * c.nominal for c in given.contributors)
    worst = fsum(c.tolerance for c in given.contributors)
    likely = hypot(*(c.tolerance for c in given.contributors))
    return Outputs(
        gap=_settled(gap),
        worst_minimum=_settled(gap - worst),
        worst_maximum=_settled(gap + worst),
        rss_minimum=_settled(gap - likely),
        rss_maximum=_settled(gap + likely),
        largest_contributor=max(given.contributors, key=lambda c: c.tolerance).name,
    )


def _settled(length: float) -> float:
    return 0.0 if abs(length) < _NOUGHT else length


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """The sum, then both bands; long chains by their two halves, or nobody would read the line."""
    opening = [c for c in given.contributors if c.sign == 1]
    closing = [c for c in given.contributors if c.sign == -1]
    tolerances = {f"t_{k}": (c.tolerance, LENGTH) for k, c in enumerate(given.contributors, 1)}
    if len(given.contributors) <= _WRITTEN:
        names = ", ".join(f"{k} {c.name}" for k, c in enumerate(given.contributors, 1))
        lengths = {f"L_{k}": (c.nominal, LENGTH) for k, c in enumerate(given.contributors, 1)}
        terms = "".join(f" {'+' if c.sign == 1 else '-'} L_{k}" for k, c in enumerate(given.contributors, 1))
        yield WorkingStep("G =" + terms.removeprefix(" +"), lengths, names)
        yield WorkingStep(
            "w = " + " + ".join(tolerances), {**tolerances, "w": (_half(found), LENGTH)}, phrase("worst case")
        )
        squares = " + ".join(f"{t}**2" for t in tolerances)
        yield WorkingStep(
            f"q = sqrt({squares})", {**tolerances, "q": (_likely(found), LENGTH)}, phrase("root sum of squares")
        )
    else:
        halves = {"P": (fsum(c.nominal for c in opening), LENGTH), "M": (fsum(c.nominal for c in closing), LENGTH)}
        yield WorkingStep(
            "G = P - M",
            halves,
            phrase(
                "{opening} lengths that open the gap, less {closing} that close it",
                opening=len(opening),
                closing=len(closing),
            ),
        )
    bands = {"w": (_half(found), LENGTH), "q": (_likely(found), LENGTH)}
    yield WorkingStep("W_min = G - w", bands, phrase("w: sum of all tolerances"))
    yield WorkingStep("W_max = G + w", bands)
    yield WorkingStep("R_min = G - q", bands, phrase("q: square root of the sum of their squares"))
    yield WorkingStep("R_max = G + q", bands)


def _half(found: Outputs) -> float:
    return (found.worst_maximum - found.worst_minimum) / 2


def _likely(found: Outputs) -> float:
    return (found.rss_maximum - found.rss_minimum) / 2


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare both bands with the limits that were given."""
    worst, rss = phrase("all tolerances against us"), phrase("tolerances as root sum of squares")
    if given.minimum is None and given.maximum is None:
        yield not_known(phrase("Gap"), phrase("neither a least nor a greatest gap is given"))
    if given.minimum is not None:
        yield at_least(phrase("Least gap, worst case"), found.worst_minimum, given.minimum, worst, LENGTH)
        yield at_least(phrase("Least gap, RSS"), found.rss_minimum, given.minimum, rss, LENGTH)
    if given.maximum is not None:
        yield at_most(phrase("Greatest gap, worst case"), found.worst_maximum, given.maximum, worst, LENGTH)
        yield at_most(phrase("Greatest gap, RSS"), found.rss_maximum, given.maximum, rss, LENGTH)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the parts foul."""
    if found.worst_minimum < 0:
        yield phrase("At the worst tolerances the gap is negative: the parts foul before they are home.")


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The chain as arrows head to tail; below it, enlarged, how far the gap can stray and must not."""
    said = phrase(
        "Nominal gap {show}, worst case {span}, ",
        show=show(found.gap, LENGTH),
        span=_span(found.worst_minimum, found.worst_maximum),
    )
    said += phrase("root sum of squares {span}.", span=_span(found.rss_minimum, found.rss_maximum))
    role = Role.OK if found.gap >= 0 else Role.CLASH
    links, gap = (
        _links(given, found),
        ChainLink(phrase("gap that is left"), show(found.gap, LENGTH), 0.0, found.gap, role),
    )
    return sheet(phrase("Axial stack"), said, [*chain_of(links, gap), *_gap(given, found, -15.0 * len(links) - 27)])


def _span(low: float, high: float) -> str:
    return f"{show(low, LENGTH)} … {show(high, LENGTH)}"


def _links(given: Inputs, found: Outputs) -> list[ChainLink]:
    links, at = [], 0.0
    for c in given.contributors[:_DRAWN]:
        end = at + c.sign * c.nominal
        links.append(ChainLink(c.name, _note(c), at, end, Role.ENGINE if c.sign == 1 else Role.OUTLINE))
        at = end
    more = len(given.contributors) - _DRAWN
    return [*links, ChainLink(phrase("{more} more", more=more), "", at, found.gap)] if more > 0 else links


def _note(c: Contributor) -> str:
    return f"{'+' if c.sign == 1 else '−'} {show(c.nominal, LENGTH, figures=6)} ± {show(c.tolerance, LENGTH)}"


def _gap(given: Inputs, found: Outputs, top: float) -> Iterator[Item]:
    limits = [
        (value, phrase("dashed: {words} {show}", words=words, show=show(value, LENGTH)))
        for value, words in ((given.minimum, phrase("at least")), (given.maximum, phrase("at most")))
        if value is not None
    ]
    bands = (
        (phrase("worst case"), found.worst_minimum, found.worst_maximum),
        (phrase("root sum of squares"), found.rss_minimum, found.rss_maximum),
    )
    rows = [Stray(words, _span(low, high), low, high, _role(given, low, high)) for words, low, high in bands]
    yield from strays(rows, found.gap, limits, top)


def _role(given: Inputs, low: float, high: float) -> Role:
    short = given.minimum is not None and low < given.minimum - _NOUGHT
    long = given.maximum is not None and high > given.maximum + _NOUGHT
    return Role.CLASH if short or long else Role.OK


CALCULATION = Calculation(
    title=phrase("Axial stack"),
    question=phrase("What gap is left when everything is bolted up?"),
    area=phrase("Fit and measurement"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "contributors": [
            {"name": "housing depth", "nominal": 165.2, "tolerance": 0.15, "sign": 1},
            {"name": "plate", "nominal": 18, "tolerance": 0.05, "sign": 1},
            {"name": "flywheel height", "nominal": 32.4, "tolerance": 0.1, "sign": -1},
            {"name": "clutch finger height", "nominal": 61.5, "tolerance": 1, "sign": -1},
            {"name": "bearing, pushed back", "nominal": 84.1, "tolerance": 0.2, "sign": -1},
        ],
        "minimum": 2,
        "maximum": 8,
    },
    cautions=(
        phrase(
            "Root sum of squares assumes independent lengths, none of which dominates: for one build trust the worst "
            "case."
        ),
        phrase("Measure what is in hand where it decides: a drawing's tolerance is not this part's size."),
        phrase("Warm parts grow, gaskets settle and bearings move in their play: leave room for it."),
    ),
    sources=(
        Source(
            phrase("ASME Y14.5 and usual tolerance-chain practice"),
            "",
            phrase("worst case as sum of tolerances"),
            "from memory",
        ),
        Source(
            phrase("ISO/IEC Guide 98-3"), "2008", phrase("5.1, independent quantities add by squares"), "from memory"
        ),
    ),
    limits=(phrase("Lengths along one straight axis; tolerances symmetric about the nominal."),),
    revision=2,
    not_checked=(phrase("Tilt, run-out and deflection of the faces."),),
)

"""Which length of bolt spans the layers, engages enough and does not touch the bottom of its hole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Drawing, Item, Line, Polyline, Stroke, Text, Tone
from specs.drawings.sections import axis, box, cut, sheet, uncut
from specs.engine.calculation import Calculation, Refused, WorkingStep, choice, quantities, quantity, result, text
from specs.engine.checks import Check, at_least, at_most, not_known, open_where
from specs.engine.units import LENGTH, show
from specs.phrase import phrase
from specs.standards import lengths, lookup
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Lengths are along the bolt, from under its head."""

    thread: str = text(phrase("Thread"), group="Bolt", help=phrase("metric: M10, M10x1.25"))
    grip: tuple[float, ...] = quantities(
        LENGTH,
        phrase("Layers under the head"),
        symbol="g",
        above=0,
        group="Joint",
        help=phrase("each plate, spacer or flange"),
    )
    washer: float = quantity(LENGTH, phrase("Washers"), symbol="w", default=0, at_least=0, group="Joint")
    engagement: float = quantity(
        LENGTH,
        phrase("Thread needed in the tapped part, or nut and two turns"),
        symbol="L_e",
        above=0,
        group="Thread",
    )
    hole_depth: float | None = quantity(
        LENGTH,
        phrase("Full thread depth of a blind hole"),
        symbol="t",
        above=0,
        optional=True,
        group="Thread",
        help=phrase("leave empty where the bolt may stand through, and say so below"),
    )
    stands_through: str | None = choice(
        phrase("May the bolt stand through?"),
        ("yes", "no"),
        optional=True,
        group="Thread",
        help=phrase("yes for a nut or an open hole; of a hole that ends, give the depth"),
    )
    tip_clearance: float = quantity(
        LENGTH,
        phrase("Room left under the tip"),
        symbol="c",
        default=2,
        at_least=0,
        group="Thread",
        help=phrase("blind holes only"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The standard length is the shortest preferred one that is long enough."""

    minimum_length: float = result(LENGTH, phrase("Shortest length"), symbol="L_min")
    maximum_length: float | None = result(LENGTH, phrase("Longest length"), symbol="L_max", optional=True)
    standard_length: float = result(LENGTH, phrase("Standard length"), symbol="L")


def solve(given: Inputs) -> Outputs:
    """Shortest Σ grip + washer + engagement; longest, in a blind hole, Σ grip + washer + hole depth − clearance; [m].

    The standard length is the next preferred one of ISO 888. Raises Refused for a thread that is not metric, and at
    `hole_depth` where no preferred length lies between the two.
    """
    thread = lookup.thread(given.thread)
    if not thread.is_metric:
        raise Refused(
            "thread",
            phrase("ISO 888 lengths are for metric bolts, not for {designation}.", designation=thread.designation),
        )
    if given.stands_through == "yes" and given.hole_depth is not None:
        raise Refused("stands_through", phrase("A hole with a depth ends: say no, or leave the depth empty."))
    under_head = sum(given.grip) + given.washer
    shortest = under_head + given.engagement
    longest = None if given.hole_depth is None else under_head + given.hole_depth - given.tip_clearance
    return Outputs(minimum_length=shortest, maximum_length=longest, standard_length=_standard(shortest, longest))


# Sums of typed decimals meet a printed length only to rounding; a nanometre is no length.
_ROUNDING = 1e-9


def _standard(shortest: float, longest: float | None) -> float:
    length = lengths.standard_at_least(shortest)
    if longest is None:
        if length is None:
            end = show(lengths.preferred()[-1], LENGTH)
            raise Refused("grip", phrase("The bolt would be longer than {end}, where ISO 888 ends.", end=end))
        return length
    if length is None or length > longest + _ROUNDING:
        raise Refused("hole_depth", _why_none_fits(shortest, longest, length))
    return length


def _why_none_fits(shortest: float, longest: float, length: float | None) -> str:
    span = phrase(
        "at least {show} is needed and at most {show_2} fits", show=show(shortest, LENGTH), show_2=show(longest, LENGTH)
    )
    if longest < shortest:
        return phrase("The hole is too shallow for this engagement: {span}.", span=span)
    following = phrase("; the next length is {show}", show=show(length, LENGTH)) if length else ""
    return phrase(
        "No standard length fits: {span}{following}. Deepen the hole, add a washer or cut a longer bolt.",
        span=span,
        following=following,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Shortest, longest, and the length to take."""
    values = {"G": (sum(given.grip), LENGTH), "L_preferred": (found.standard_length, LENGTH)}
    yield WorkingStep("L_min = G + w + L_e", values, phrase("G: all layers together"))
    if found.maximum_length is not None:
        yield WorkingStep("L_max = G + w + t - c", values, phrase("the tip must not touch the bottom"))
    yield WorkingStep("L = L_preferred", values, phrase("the next preferred length of ISO 888"))


def _engaged(given: Inputs, found: Outputs) -> float:
    return found.standard_length - sum(given.grip) - given.washer


# Height of a nut that bears the bolt's full load, over the diameter: ISO 898-2 (from memory).
_FULL_NUT = 0.8


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """The chosen length against what is needed and what fits."""
    words = phrase("thread of the standard length in the part")
    check = at_least(phrase("Engagement"), _engaged(given, found), given.engagement, words, LENGTH)
    is_short = _engaged(given, found) < _FULL_NUT * lookup.thread(given.thread).major_diameter - _ROUNDING
    why = phrase("under 0.8 of the diameter, a full nut's height, the thread may strip first: try Thread engagement")
    yield open_where(check, why if is_short else None)
    if found.maximum_length is not None:
        words = phrase("standard length against the longest that fits")
        yield at_most(phrase("Tip"), found.standard_length, found.maximum_length, words, LENGTH)
    elif given.stands_through != "yes":
        yield not_known(
            phrase("Tip"), phrase("neither the depth of the hole was given, nor that the bolt may stand through")
        )


# The picture is 120 mm along the bolt, whatever its length; words then keep their size.
_ALONG = 120.0
_LETTERS = 4.2


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The joint cut along the bolt: washer, layers, tapped part with its hole, and where the tip stands."""
    thread = lookup.thread(given.thread)
    under_head = sum(given.grip) + given.washer
    depth = given.hole_depth or given.engagement
    scale = _ALONG / max(found.standard_length, under_head + depth)
    bolt, half = thread.major_diameter / 2 * scale, 2 * thread.major_diameter * scale
    root = bolt * thread.minor_diameter / thread.major_diameter
    length, face, bottom = found.standard_length * scale, under_head * scale, (under_head + depth) * scale
    # Threaded at least as far as it engages: nobody asks where the shank ends.
    shank = max(face - bolt, 0.0)
    items: list[Item] = [
        *_layers(given, scale, 1.1 * bolt, half),
        *_tapped(face, bottom, bolt, root, half, blind=given.hole_depth is not None),
        uncut(box(-1.3 * bolt, 0, -1.7 * bolt, 1.7 * bolt)),
        uncut(box(0, length, -bolt, bolt)),
        *(Line((shank, y), (length, y), stroke=Stroke.NARROW) for y in (-root, root)),
        axis(-3 * bolt, max(length, bottom) + 8),
        DimensionLine(
            (0, -half),
            (length, -half),
            phrase("bolt {show}", show=show(found.standard_length, LENGTH)),
            -10,
            height=_LETTERS,
        ),
        DimensionLine((face, half), (min(length, bottom), half), _engaged_words(given, found), 10, height=_LETTERS),
    ]
    return sheet(
        phrase("Bolt in its joint"),
        phrase(
            "{grip} layers of {show} together, a {show_2} bolt, {engaged_words} in the tapped part.",
            grip=len(given.grip),
            show=show(sum(given.grip), LENGTH),
            show_2=show(found.standard_length, LENGTH),
            engaged_words=_engaged_words(given, found),
        ),
        items,
    )


def _engaged_words(given: Inputs, found: Outputs) -> str:
    return phrase("thread {show}", show=show(_engaged(given, found), LENGTH))


def _layers(given: Inputs, scale: float, hole: float, half: float) -> Iterator[Item]:
    at = given.washer * scale
    if at:
        yield uncut(box(0, at, -0.55 * half, 0.55 * half))
    for number, layer in enumerate(given.grip):
        end = at + layer * scale
        yield from cut(box(at, end, -half, half), 135 if number % 2 else 45)
        yield Polyline(box(at, end, -hole, hole), closed=True, fill=Tone.PLAIN)
        yield Text(((at + end) / 2, half + 2), show(layer, LENGTH), _LETTERS, "middle")
        at = end


def _tapped(face: float, bottom: float, bolt: float, root: float, half: float, *, blind: bool) -> Iterator[Item]:
    """The tapped part, thicker than its hole is deep where that is blind."""
    yield from cut(box(face, bottom + (bolt if blind else 0), -half, half), 60)
    yield Polyline(box(face, bottom, -root, root), closed=True, fill=Tone.PLAIN)
    for y in (-bolt, bolt):
        yield Line((face, y), (bottom, y), stroke=Stroke.NARROW)


CALCULATION = Calculation(
    title=phrase("Bolt length"),
    question=phrase("How long a bolt?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    drawing=drawing,
    example={"thread": "M12", "grip": [20, 10.5], "washer": 2.5, "engagement": 15, "hole_depth": 24},
    cautions=(
        phrase("Try the bolt by hand to full depth first: a bolt that meets the bottom clamps nothing at any torque."),
        phrase("Measure the hole's full thread, not its drilled depth; clean chips and oil out of blind holes."),
    ),
    sources=(
        Source(
            phrase("ISO 888, nominal lengths of bolts and screws"),
            "2012",
            phrase("preferred lengths, in public tables"),
            "read",
        ),
    ),
    limits=(
        phrase(
            "Metric bolts, preferred lengths of ISO 888 to 500 mm; lengths in between exist and are not offered here."
        ),
    ),
    not_checked=(
        phrase("Whether the plain shank ends inside the layers, so that thread, not shank, lies in the tapped part."),
        phrase("Whether the engagement holds: see thread engagement."),
    ),
    revision=2,
)

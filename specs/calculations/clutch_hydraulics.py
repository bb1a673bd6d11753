"""Clutch release by fluid: how far the bearing moves for a pedal stroke, and how hard the foot must press."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.annotation import Arrow
from specs.drawings.cylinder import cylinder
from specs.drawings.primitives import Circle, Drawing, Item, Line, Point, Polyline, Role, Text, Tone
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, at_most, not_known, open_where
from specs.engine.units import AREA, FORCE, LENGTH, RATIO, STRESS, VOLUME, Kind, show
from specs.phrase import phrase
from specs.standards.publications import Source

_pedal_input = partial(quantity, group="Pedal")
_cylinders = partial(quantity, group="Cylinders")
_bearing = partial(quantity, group="Bearing")
_limits = partial(quantity, above=0, group="Limits", optional=True)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Pedal, master cylinder, slave cylinder and fork, in the order in which the foot's work passes through them."""

    pedal_ratio: float = _pedal_input(
        RATIO, phrase("Pedal ratio"), symbol="i_p", above=0, help=phrase("pad to pivot, over push rod to pivot")
    )
    pedal_travel: float = _pedal_input(LENGTH, phrase("Pedal travel at the pad"), symbol="s_p", above=0)
    free_play: float = _pedal_input(
        LENGTH, phrase("Free play at the pad"), symbol="s_0", default=0, at_least=0, help=phrase("until fluid moves")
    )
    master_bore: float = _cylinders(LENGTH, phrase("Master cylinder bore"), symbol="d_m", above=0)
    slave_bore: float = _cylinders(
        LENGTH, phrase("Slave cylinder bore"), symbol="d_s", above=0, help=phrase("the outer one of a ring")
    )
    slave_inner: float = _cylinders(
        LENGTH,
        phrase("Inner diameter of a ring-shaped slave"),
        symbol="d_i",
        default=0,
        at_least=0,
        help=phrase("round the input shaft; 0 for a plain cylinder"),
    )
    fork_ratio: float = _bearing(
        RATIO,
        phrase("Fork ratio"),
        symbol="i_f",
        default=1,
        above=0,
        help=phrase("force at the bearing over force at the slave; 1 for a ring-shaped slave"),
    )
    bearing_clearance: float = _bearing(LENGTH, phrase("Clearance of the bearing"), symbol="c", default=0, at_least=0)
    release_force: float = _bearing(
        FORCE, phrase("Force to release, at the bearing"), symbol="F_r", above=0, help=phrase("the greatest in travel")
    )
    efficiency: float = _bearing(
        RATIO, phrase("Efficiency"), symbol="eta", default=0.9, above=0, at_most=1, help=phrase("seals, pivots, fork")
    )
    required_travel: float | None = _limits(LENGTH, phrase("Travel needed to free"), symbol="s_min")
    maximum_travel: float | None = _limits(LENGTH, phrase("Greatest travel allowed"), symbol="s_max")
    maximum_pedal_force: float | None = _limits(FORCE, phrase("Greatest pedal force allowed"), symbol="F_max")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """With the pedal fully down and no air in the line."""

    master_stroke: float = result(LENGTH, phrase("Stroke of the master"), symbol="s_m")
    displaced_volume: float = result(VOLUME, phrase("Fluid moved"), symbol="V")
    slave_stroke: float = result(LENGTH, phrase("Stroke of the slave"), symbol="s_s")
    release_travel: float = result(LENGTH, phrase("Travel of the bearing on the fingers"), symbol="s_r")
    line_pressure: float = result(STRESS, phrase("Line pressure"), symbol="p")
    pedal_force: float = result(FORCE, phrase("Pedal force"), symbol="F_p")


def _areas(given: Inputs) -> tuple[float, float]:
    master = math.pi / 4 * given.master_bore**2
    return master, math.pi / 4 * (given.slave_bore**2 - given.slave_inner**2)


def solve(given: Inputs) -> Outputs:
    """Pass stroke forwards and force backwards through pedal, master, slave and fork (Pascal; volume and work kept).

    s_m = (s_p − s_0)/i_p; V = A_m·s_m; s_s = V/A_s; s_r = s_s/i_f − c; p = F_r/(i_f·A_s);
    F_p = F_r/(i_f·(A_s/A_m)·i_p·η). Lengths [m], volume [m³], pressure [Pa], force [N].
    Raises Refused where a ring has no width or a fork, the play takes all travel, or the limits of travel cross.
    """
    _refuse_contradictions(given)
    master, slave = _areas(given)
    master_stroke = (given.pedal_travel - given.free_play) / given.pedal_ratio
    slave_stroke = master * master_stroke / slave
    return Outputs(
        master_stroke=master_stroke,
        displaced_volume=master * master_stroke,
        slave_stroke=slave_stroke,
        release_travel=slave_stroke / given.fork_ratio - given.bearing_clearance,
        line_pressure=given.release_force / (given.fork_ratio * slave),
        pedal_force=given.release_force / (given.fork_ratio * slave / master * given.pedal_ratio * given.efficiency),
    )


def _refuse_contradictions(given: Inputs) -> None:
    if given.slave_inner >= given.slave_bore:
        raise Refused("slave_inner", phrase("must be less than the slave's bore (0 for a plain cylinder)."))
    if given.slave_inner and given.fork_ratio != 1:
        raise Refused("fork_ratio", phrase("must be 1 for a ring-shaped slave: it pushes the bearing without a fork."))
    if given.free_play >= given.pedal_travel:
        raise Refused("free_play", phrase("must be less than the pedal's travel."))
    least, most = given.required_travel, given.maximum_travel
    if least is not None and most is not None and least > most:
        raise Refused("maximum_travel", phrase("must be at least the travel that is needed."))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Stroke forwards to the bearing, then force backwards to the foot."""
    master, slave = _areas(given)
    a_m, a_s = {"A_m": (master, AREA)}, {"A_s": (slave, AREA)}
    yield WorkingStep("A_m = pi / 4 * d_m**2", a_m, note=phrase("master piston"))
    yield WorkingStep("A_s = pi / 4 * (d_s**2 - d_i**2)", a_s, note=phrase("slave piston"))
    yield WorkingStep("s_m = (s_p - s_0) / i_p")
    yield WorkingStep("V = A_m * s_m", a_m)
    yield WorkingStep("s_s = V / A_s", a_s, note=phrase("no air, no swelling"))
    yield WorkingStep("s_r = s_s / i_f - c")
    yield WorkingStep("p = F_r / (i_f * A_s)", a_s)
    yield WorkingStep("F_p = F_r / (i_f * A_s / A_m * i_p * eta)", {**a_m, **a_s})


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Whether it frees, whether it goes too far, and whether a foot can press it; not known without a limit."""
    travel, name = found.release_travel, phrase("Travel to free")
    if given.required_travel is None:
        yield not_known(name, phrase("the travel that frees the clutch is not given"))
    else:
        words = phrase("travel of the bearing on the fingers, against what frees the clutch")
        check = at_least(name, travel, given.required_travel, words, LENGTH)
        yield open_where(check, None if given.free_play or given.bearing_clearance else _NO_PLAY)
    words = phrase("travel of the bearing on the fingers, against what the diaphragm and slave allow")
    yield _at_most(phrase("Travel allowed"), travel, given.maximum_travel, words, LENGTH)
    words = phrase("force at the pedal pad, against what was said to be bearable")
    check = _at_most(phrase("Pedal force"), found.pedal_force, given.maximum_pedal_force, words, FORCE)
    yield open_where(
        check, phrase("seals and pivots take more than a twentieth") if given.efficiency > _SMOOTHEST else None
    )


_SMOOTHEST = 0.95  # common practice is 0.8 to 0.95; no source
_NO_PLAY = phrase("neither free play at the pedal nor the bearing's clearance was given: both take travel")


def _at_most(name: str, value: float, limit: float | None, words: str, kind: Kind) -> Check:
    if limit is None:
        return not_known(name, phrase("the greatest allowed is not given"))
    return at_most(name, value, limit, words, kind)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the pedal's whole stroke does not even reach the fingers."""
    if found.release_travel <= 0:
        yield phrase("The bearing does not reach the fingers: all of the stroke goes into its clearance.")


# The scheme, about 180 mm wide: where the pedal hangs, and where the axes of master and slave lie.
_PIVOT: Point = (16.0, 92.0)
_PEDAL = 68.0
_SLAVE_AXIS = 48.0
_LARGEST, _LETTERS = 20.0, 4.2


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """A scheme, not to scale: pedal, master, line, slave and bearing, each with its force and travel."""
    scale = _LARGEST / max(given.master_bore, given.slave_bore)
    axis = _PIVOT[1] - min(max(_PEDAL / given.pedal_ratio, 10.0), 24.0)
    half = given.master_bore * scale / 2
    items: list[Item] = [
        *_pedal(given, found, axis),
        *cylinder((34, axis - half), (66, axis + half), 44),
        *_said(
            (22, axis - half - 10),
            phrase("master ⌀{of}", of=_of(given.master_bore)),
            phrase("stroke {of}", of=_of(found.master_stroke)),
        ),
        Polyline(((66, axis), (78, axis), (78, _SLAVE_AXIS), (90, _SLAVE_AXIS)), role=Role.ENGINE),
        *_said(
            (82, axis),
            phrase("line {show}", show=show(found.line_pressure, STRESS)),
            phrase("{show} moved", show=show(found.displaced_volume, VOLUME)),
        ),
        *(_ring(given, scale) if given.slave_inner else _plain(given, scale)),
        *_said(
            (66, 9), phrase("slave ⌀{of}", of=_of(given.slave_bore)), phrase("stroke {of}", of=_of(found.slave_stroke))
        ),
        *_said(
            (118, 9),
            phrase("bearing {show}", show=show(given.release_force, FORCE)),
            phrase("over {of}", of=_of(found.release_travel)),
        ),
    ]
    return sheet(
        phrase("Clutch release"),
        phrase(
            "Scheme of the release. The foot presses {show} over {of}; "
            "the master moves {show_2} at {show_3}; "
            "the bearing travels {of_2} under {show_4}.",
            show=show(found.pedal_force, FORCE),
            of=_of(given.pedal_travel),
            show_2=show(found.displaced_volume, VOLUME),
            show_3=show(found.line_pressure, STRESS),
            of_2=_of(found.release_travel),
            show_4=show(given.release_force, FORCE),
        ),
        items,
    )


def _of(length: float) -> str:
    return show(length, LENGTH)


def _said(place: Point, *lines: str) -> Iterator[Text]:
    for k, words in enumerate(lines):
        yield Text((place[0], place[1] - 7.5 * k), words, _LETTERS)


def _pedal(given: Inputs, found: Outputs, axis: float) -> Iterator[Item]:
    x, top = _PIVOT
    pad = top - _PEDAL
    yield Polyline(((x - 1, top), (x + 1, top), (x + 1, pad), (x - 1, pad)), closed=True, fill=Tone.METAL)
    yield Polyline(((x - 3, pad - 4), (x, pad - 4), (x, pad + 6), (x - 3, pad + 6)), closed=True, fill=Tone.METAL)
    yield Circle(_PIVOT, 1.6, Tone.PLAIN)
    yield Line((x, axis), (44, axis))
    yield Arrow((-2, pad), (x - 4, pad))
    yield from _said(
        (2, 9),
        phrase("foot {show}", show=show(found.pedal_force, FORCE)),
        phrase("over {of}", of=_of(given.pedal_travel)),
    )


def _plain(given: Inputs, scale: float) -> Iterator[Item]:
    """A plain slave whose rod turns a fork about a pivot between rod and bearing."""
    half = given.slave_bore * scale / 2
    yield from cylinder((90, _SLAVE_AXIS - half), (116, _SLAVE_AXIS + half), 106, fluid_left=True)
    end, reach = 130.0, 26.0
    pivot = _SLAVE_AXIS - reach * given.fork_ratio / (1 + given.fork_ratio)
    yield Line((106, _SLAVE_AXIS), (end, _SLAVE_AXIS))
    yield Line((end, _SLAVE_AXIS), (end, _SLAVE_AXIS - reach))
    yield Circle((end, pivot), 1.6, Tone.PLAIN)
    yield Arrow((end - 1, _SLAVE_AXIS - reach), (end - 14, _SLAVE_AXIS - reach))


def _ring(given: Inputs, scale: float) -> Iterator[Item]:
    """A ring-shaped slave round the input shaft, cut along its axis, pushing the bearing itself."""
    outer, inner = given.slave_bore * scale / 2, given.slave_inner * scale / 2
    for bottom, top in ((inner, outer), (-outer, -inner)):
        yield from cylinder((90, _SLAVE_AXIS + bottom), (116, _SLAVE_AXIS + top), 106, fluid_left=True)
    yield Line((90, _SLAVE_AXIS - outer), (90, _SLAVE_AXIS + outer), role=Role.ENGINE)
    yield Line((90, _SLAVE_AXIS), (152, _SLAVE_AXIS), role=Role.CENTRE)
    for side in (-1, 1):
        middle = _SLAVE_AXIS + side * (outer + inner) / 2
        yield Line((106, middle), (126, middle))
        yield Arrow((127, middle), (142, middle))
    yield Line((126, _SLAVE_AXIS - outer), (126, _SLAVE_AXIS + outer))


CALCULATION = Calculation(
    title=phrase("Clutch release hydraulics"),
    question=phrase("Is the pedal light enough, and does the clutch release?"),
    area=phrase("Clutch and its release"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "pedal_ratio": 5.5,
        "pedal_travel": 150,
        "free_play": 10,
        "master_bore": 15.875,
        "slave_bore": 20.64,
        "fork_ratio": 1.8,
        "release_force": 1900,
        "required_travel": 8,
        "maximum_travel": 10,
        "maximum_pedal_force": 150,
    },
    cautions=(
        phrase("Hoses swell and air compresses: the bearing moves less than shown. Measure the travel after bleeding."),
        phrase("The master's cut-off port must be open with the pedal up, or the clutch stays pressed and slips."),
        phrase("A diaphragm pressed too far is ruined and may burst: fit a pedal stop for the greatest travel."),
        phrase("A slave pushed too far leaves its bore and empties the line: compare its stroke with the maker's."),
        phrase("Brake fluid harms skin, eyes and paint: catch it, and keep the clutch's fluid out of the brakes."),
    ),
    sources=(
        Source(
            phrase("A. Esposito, Fluid Power with Applications"),
            "",
            phrase("example 3-4, Pascal's law, as solved"),
            "read",
        ),
        Source(phrase("Volume and work kept over the pedal stroke"), "general", "hydrostatics"),
    ),
    revision=3,
    limits=(
        phrase("Stiff line, no air, no leak; the release force is taken as the greatest in the travel."),
        phrase("One efficiency for seals, pivots and fork: 0.9 is common practice, no source."),
    ),
    not_checked=(
        phrase("The strength of pedal box, bulkhead, fork and bearing, and the length of the slave's stroke."),
        phrase("The change of pedal ratio over the stroke."),
    ),
)

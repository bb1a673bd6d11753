"""How long a propshaft must be made, and whether its slip joint has room for what the axle does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Circle, Drawing, Item, Line, Polyline, Role, Stroke, Text, Tone
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, not_known, open_where, scant
from specs.engine.units import LENGTH, RATIO, show
from specs.standards.publications import Source

# The usual least values, pre-filled: reserve of slip [m], and spline at full droop over its diameter; common practice.
_RESERVE, _ENGAGED = 5e-3, 1.5


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Measured along the shaft at ride height, the vehicle on its wheels."""

    face_to_face: float = quantity(
        LENGTH,
        "Gearbox flange to pinion flange",
        symbol="L",
        above=0,
        group="Vehicle",
        help="mating faces, ride height",
    )
    yoke_front: float = quantity(
        LENGTH, "Front yoke, joint centre to face", symbol="y_f", at_least=0, group="Yokes and slip"
    )
    yoke_rear: float = quantity(
        LENGTH, "Rear yoke, joint centre to face", symbol="y_r", at_least=0, group="Yokes and slip"
    )
    slip_total: float = quantity(
        LENGTH,
        "Whole stroke of the slip joint",
        symbol="s",
        above=0,
        group="Yokes and slip",
        help="fully in to fully out",
    )
    slip_position: float = quantity(
        RATIO,
        "Share extended at ride height",
        symbol="q",
        default=0.5,
        at_least=0,
        at_most=1,
        group="Yokes and slip",
        help="0 fully in, 1 fully out",
    )
    spline_diameter: float | None = quantity(
        LENGTH, "Diameter of the slip spline", symbol="D", above=0, optional=True, group="Yokes and slip"
    )
    engaged_fully_out: float = quantity(
        LENGTH,
        "Spline engaged when fully out",
        symbol="k_0",
        default=0,
        at_least=0,
        group="Yokes and slip",
        help="0 where fully out means apart; more where a stop or cap ends the stroke before",
    )
    engagement_factor: float = quantity(
        RATIO,
        "Least engagement at full droop, in diameters",
        symbol="z",
        default=_ENGAGED,
        above=0,
        group="Yokes and slip",
        help="1.5: less lets the joint rock and wear, and may break its teeth (common practice)",
    )
    plunge_in: float = quantity(
        LENGTH, "Shaft shortens at bump by", symbol="p_i", at_least=0, group="Axle", help="greatest over the travel"
    )
    plunge_out: float = quantity(
        LENGTH, "Shaft lengthens at droop by", symbol="p_o", at_least=0, group="Axle", help="greatest over the travel"
    )
    reserve: float = quantity(LENGTH, "Reserve wanted at either end", symbol="R", default=5, above=0, group="Axle")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Negative where the slip joint would bottom or come apart."""

    joint_centres: float = result(LENGTH, "Length between joint centres", symbol="L_c")
    slip_in_left: float = result(LENGTH, "Slip left before it bottoms", symbol="s_i")
    slip_out_left: float = result(LENGTH, "Slip left before it comes apart", symbol="s_o")
    droop_engagement: float = result(LENGTH, "Spline engaged at full droop", symbol="k")


def solve(given: Inputs) -> Outputs:
    """Take the yokes off the distance of the faces, and the axle's plunge off the slip: all [m].

    L_c = L − y_f − y_r; s_i = s·q − p_i; s_o = s·(1 − q) − p_o; k = s_o + k_0.
    Raises Refused where the yokes leave no shaft.
    """
    centres = given.face_to_face - given.yoke_front - given.yoke_rear
    if centres <= 0:
        raise Refused("face_to_face", "leaves no room for a shaft between the two yokes.")
    out_left = given.slip_total * (1 - given.slip_position) - given.plunge_out
    return Outputs(
        joint_centres=centres,
        slip_in_left=given.slip_total * given.slip_position - given.plunge_in,
        slip_out_left=out_left,
        droop_engagement=out_left + given.engaged_fully_out,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Length, then both ends of the slip."""
    yield WorkingStep("L_c = L - y_f - y_r", note="at ride height")
    yield WorkingStep("s_i = s * q - p_i", note="what is extended, less what the axle pushes in")
    yield WorkingStep("s_o = s * (1 - q) - p_o", note="what is left to extend, less what the axle pulls out")
    yield WorkingStep("k = s_o + k_0", note="the spline that is still engaged then")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare what is left at both ends with the reserve."""
    for name, left, where in (
        ("Slip left inwards", found.slip_in_left, "at full bump"),
        ("Slip left outwards", found.slip_out_left, "at full droop"),
    ):
        check = at_least(name, left, given.reserve, f"{where}, against the reserve wanted", LENGTH)
        still = "the plunge was given as 0 both ways: measure it at full bump and full droop"
        moves = given.plunge_in or given.plunge_out
        yield open_where(check, None if moves else still, scant(given.reserve, _RESERVE))
    name = "Spline at full droop"
    if given.spline_diameter is None:
        yield not_known(name, "the diameter of the slip spline is not given")
    else:
        least = given.engagement_factor * given.spline_diameter
        check = at_least(name, found.droop_engagement, least, "spline engaged, against the least wanted", LENGTH)
        yield open_where(check, scant(given.engagement_factor, _ENGAGED))


# The picture: 140 mm from face to face, the slip joint's stroke as a bar of its own below.
_RUN = 140.0
_SHAFT, _BAR = 34.0, 4.0
_LETTERS = 3.8


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The shaft between its faces, and below it where the slip joint stands in its stroke and where it is driven to."""
    return sheet(
        "Propshaft length",
        f"Shaft between two flanges {_of(given.face_to_face)} apart; {_of(found.joint_centres)} between joint centres. "
        f"The slip joint has {_of(found.slip_in_left)} left before it bottoms "
        f"and {_of(found.slip_out_left)} before it comes apart.",
        [*_shaft(given, found), *_slip(given, found)],
    )


def _of(length: float) -> str:
    return show(length, LENGTH, figures=6)


def _shaft(given: Inputs, found: Outputs) -> Iterator[Item]:
    scale = _RUN / given.face_to_face
    front, rear = given.yoke_front * scale, _RUN - given.yoke_rear * scale
    for face in (0.0, _RUN):
        yield Line((face, _SHAFT - 9), (face, _SHAFT + 9))
    yield Line((0, _SHAFT), (front, _SHAFT))
    yield Line((rear, _SHAFT), (_RUN, _SHAFT))
    yield Polyline(
        ((front, _SHAFT - 2.5), (rear, _SHAFT - 2.5), (rear, _SHAFT + 2.5), (front, _SHAFT + 2.5)),
        closed=True,
        fill=Tone.METAL,
    )
    for joint in (front, rear):
        yield Circle((joint, _SHAFT), 3.2, Tone.PLAIN)
    yield DimensionLine((0, _SHAFT + 9), (_RUN, _SHAFT + 9), f"faces {_of(given.face_to_face)}", 16, height=_LETTERS)
    centres = f"joint centres {_of(found.joint_centres)}"
    yield DimensionLine((front, _SHAFT + 4), (rear, _SHAFT + 4), centres, 11, height=_LETTERS)


def _slip(given: Inputs, found: Outputs) -> Iterator[Item]:
    scale = _RUN / given.slip_total
    here = given.slip_position * _RUN
    inmost, outmost = here - given.plunge_in * scale, here + given.plunge_out * scale
    low, high = max(inmost, 0.0), min(outmost, _RUN)
    yield Polyline(_band(0, _RUN), closed=True, stroke=Stroke.NARROW)
    fits = min(found.slip_in_left, found.slip_out_left) >= 0
    yield Polyline(
        _band(low, high),
        closed=True,
        fill=Tone.OK if fits else Tone.CLASH,
        role=Role.OK if fits else Role.CLASH,
        stroke=Stroke.NARROW,
    )
    yield Line((here, _BAR - 6), (here, _BAR + 6))
    yield Text((0, _BAR + 8), f"slip joint, stroke {_of(given.slip_total)}: in (−)", _LETTERS)
    yield Text((_RUN, _BAR + 8), "out (+)", _LETTERS, "end")
    yield Text((0, _BAR - 12), f"left at bump {_of(found.slip_in_left)}", _LETTERS)
    yield Text((_RUN, _BAR - 12), f"left at droop {_of(found.slip_out_left)}", _LETTERS, "end")


def _band(start: float, end: float) -> tuple[tuple[float, float], ...]:
    return (start, _BAR - 4), (end, _BAR - 4), (end, _BAR + 4), (start, _BAR + 4)


CALCULATION = Calculation(
    title="Propshaft length",
    question="How long must the shaft be made, and has its slip joint room enough?",
    area="Propshaft",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    drawing=drawing,
    example={
        "face_to_face": 1420,
        "yoke_front": 62,
        "yoke_rear": 58,
        "slip_total": 80,
        "spline_diameter": 32,
        "engaged_fully_out": 30,
        "plunge_in": 22,
        "plunge_out": 18,
    },
    cautions=(
        "A slip joint that bottoms breaks the gearbox; one that comes apart drops the shaft: move the axle and look.",
        "Measure at ride height on the wheels: an axle that hangs is not where it runs.",
        "Vehicle on stands on firm ground, never on a jack alone, wheels chocked.",
        "Have the shaft shortened, welded and balanced by a qualified person.",
    ),
    sources=(
        Source("Line geometry of a shaft with a slip joint", "common practice, no source"),
        Source("One and a half diameters of spline at full droop", "common practice, no source"),
    ),
    limits=("Lengths along the shaft's own line; the plunge is that of the whole suspension travel.",),
    revision=4,
    not_checked=(
        "The spline's stress under its torque, and room round the shaft at full travel.",
        "How far the axle moves by wind-up under torque.",
    ),
)

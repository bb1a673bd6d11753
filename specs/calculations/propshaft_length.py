"""How long a propshaft must be made, and whether its slip joint has room for what the axle does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Circle, Drawing, Item, Line, Role, Tone
from specs.drawings.sections import LETTERS, box, sheet, uncut
from specs.drawings.slip_joint import SlipJoint, slip_joint
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, not_known, open_where, scant
from specs.engine.units import LENGTH, RATIO, show
from specs.phrase import phrase
from specs.standards.publications import Source

# The usual least values, pre-filled: reserve of slip [m], and spline at full droop over its diameter; common practice.
_RESERVE, _ENGAGED = 5e-3, 1.5


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Measured along the shaft at ride height, the vehicle on its wheels."""

    face_to_face: float = quantity(
        LENGTH,
        phrase("Gearbox flange to pinion flange"),
        symbol="L",
        above=0,
        group="Vehicle",
        help=phrase("mating faces, ride height"),
    )
    yoke_front: float = quantity(
        LENGTH, phrase("Front yoke, joint centre to face"), symbol="y_f", at_least=0, group="Yokes and slip"
    )
    yoke_rear: float = quantity(
        LENGTH, phrase("Rear yoke, joint centre to face"), symbol="y_r", at_least=0, group="Yokes and slip"
    )
    slip_total: float = quantity(
        LENGTH,
        phrase("Whole stroke of the slip joint"),
        symbol="s",
        above=0,
        group="Yokes and slip",
        help=phrase("fully in to fully out"),
    )
    slip_position: float = quantity(
        RATIO,
        phrase("Share extended at ride height"),
        symbol="q",
        default=0.5,
        at_least=0,
        at_most=1,
        group="Yokes and slip",
        help=phrase("0 fully in, 1 fully out"),
    )
    spline_diameter: float | None = quantity(
        LENGTH,
        phrase("Diameter of the slip spline"),
        symbol="D",
        above=0,
        optional=True,
        group="Yokes and slip",
    )
    engaged_fully_out: float = quantity(
        LENGTH,
        phrase("Spline engaged when fully out"),
        symbol="k_0",
        default=0,
        at_least=0,
        group="Yokes and slip",
        help=phrase("0 where fully out means apart; more where a stop or cap ends the stroke before"),
    )
    engagement_factor: float = quantity(
        RATIO,
        phrase("Least engagement at full droop, in diameters"),
        symbol="z",
        default=_ENGAGED,
        above=0,
        group="Yokes and slip",
        help=phrase("1.5: less lets the joint rock and wear, and may break its teeth (common practice)"),
    )
    plunge_in: float = quantity(
        LENGTH,
        phrase("Shaft shortens at bump by"),
        symbol="p_i",
        at_least=0,
        group="Axle",
        help=phrase("greatest over the travel"),
    )
    plunge_out: float = quantity(
        LENGTH,
        phrase("Shaft lengthens at droop by"),
        symbol="p_o",
        at_least=0,
        group="Axle",
        help=phrase("greatest over the travel"),
    )
    reserve: float = quantity(
        LENGTH, phrase("Reserve wanted at either end"), symbol="R", default=5, above=0, group="Axle"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Negative where the slip joint would bottom or come apart."""

    joint_centres: float = result(LENGTH, phrase("Length between joint centres"), symbol="L_c")
    slip_in_left: float = result(LENGTH, phrase("Slip left before it bottoms"), symbol="s_i")
    slip_out_left: float = result(LENGTH, phrase("Slip left before it comes apart"), symbol="s_o")
    droop_engagement: float = result(LENGTH, phrase("Spline engaged at full droop"), symbol="k")


def solve(given: Inputs) -> Outputs:
    """Take the yokes off the distance of the faces, and the axle's plunge off the slip: all [m].

    L_c = L − y_f − y_r; s_i = s·q − p_i; s_o = s·(1 − q) − p_o; k = s_o + k_0.
    Raises Refused where the yokes leave no shaft.
    """
    centres = given.face_to_face - given.yoke_front - given.yoke_rear
    if centres <= 0:
        raise Refused("face_to_face", phrase("leaves no room for a shaft between the two yokes."))
    out_left = given.slip_total * (1 - given.slip_position) - given.plunge_out
    return Outputs(
        joint_centres=centres,
        slip_in_left=given.slip_total * given.slip_position - given.plunge_in,
        slip_out_left=out_left,
        droop_engagement=out_left + given.engaged_fully_out,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Length, then both ends of the slip."""
    yield WorkingStep("L_c = L - y_f - y_r", note=phrase("at ride height"))
    yield WorkingStep("s_i = s * q - p_i", note=phrase("what is extended, less what the axle pushes in"))
    yield WorkingStep("s_o = s * (1 - q) - p_o", note=phrase("what is left to extend, less what the axle pulls out"))
    yield WorkingStep("k = s_o + k_0", note=phrase("the spline that is still engaged then"))


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare what is left at both ends with the reserve."""
    for name, left, where in (
        (phrase("Slip left inwards"), found.slip_in_left, phrase("at full bump")),
        (phrase("Slip left outwards"), found.slip_out_left, phrase("at full droop")),
    ):
        check = at_least(name, left, given.reserve, phrase("{where}, against the reserve wanted", where=where), LENGTH)
        still = phrase("the plunge was given as 0 both ways: measure it at full bump and full droop")
        moves = given.plunge_in or given.plunge_out
        yield open_where(check, None if moves else still, scant(given.reserve, _RESERVE))
    name = phrase("Spline at full droop")
    if given.spline_diameter is None:
        yield not_known(name, phrase("the diameter of the slip spline is not given"))
    else:
        least = given.engagement_factor * given.spline_diameter
        check = at_least(
            name, found.droop_engagement, least, phrase("spline engaged, against the least wanted"), LENGTH
        )
        yield open_where(check, scant(given.engagement_factor, _ENGAGED))


# The picture [mm]: from face to face, how high above the slip joint, and the halves of flange, yoke, tube and sleeve.
_RUN, _SHAFT = 150.0, 58.0
_FLANGE, _YOKE, _TUBE, _SLEEVE = 9.0, 5.0, 3.0, 4.4


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The shaft between its flanges, and below it the slip joint cut along, with how far the axle drives it."""
    return sheet(
        phrase("Propshaft length"),
        phrase(
            "Shaft between two flanges {of} apart; {of_2} between joint centres. "
            "The slip joint has {of_3} left before it bottoms "
            "and {of_4} before it comes apart.",
            of=_of(given.face_to_face),
            of_2=_of(found.joint_centres),
            of_3=_of(found.slip_in_left),
            of_4=_of(found.slip_out_left),
        ),
        [*_shaft(given, found), *slip_joint(_joint(given, found))],
    )


def _of(length: float) -> str:
    return show(length, LENGTH, figures=6)


def _shaft(given: Inputs, found: Outputs) -> Iterator[Item]:
    """Flanges, yokes and joints, and the tube with its slip joint: from the side, and so not hatched."""
    scale = _RUN / given.face_to_face
    front, rear = given.yoke_front * scale, _RUN - given.yoke_rear * scale
    sleeve = front + 0.3 * (rear - front)
    yield uncut(box(front, rear, _SHAFT - _TUBE, _SHAFT + _TUBE))
    yield uncut(box(front, sleeve, _SHAFT - _SLEEVE, _SHAFT + _SLEEVE))
    for face, out, joint in ((0.0, -3.0, front), (_RUN, 3.0, rear)):
        yield uncut(box(min(face, face + out), max(face, face + out), _SHAFT - _FLANGE, _SHAFT + _FLANGE))
        yield uncut(box(min(face, joint), max(face, joint), _SHAFT - _YOKE, _SHAFT + _YOKE))
        yield Circle((joint, _SHAFT), 3.6, Tone.PLAIN)
    yield Line((-8, _SHAFT), (_RUN + 8, _SHAFT), role=Role.CENTRE)
    for joint in (front, rear):
        yield Line((joint, _SHAFT - _FLANGE - 3), (joint, _SHAFT + _FLANGE), role=Role.CENTRE)
    top = _SHAFT + _FLANGE
    yield DimensionLine(
        (0, top), (_RUN, top), phrase("between faces {of}", of=_of(given.face_to_face)), 18, height=LETTERS
    )
    centres = phrase("joint centres {of}", of=_of(found.joint_centres))
    yield DimensionLine((front, top), (rear, top), centres, 8, height=LETTERS)


def _joint(given: Inputs, found: Outputs) -> SlipJoint:
    stroke = given.slip_total
    return SlipJoint(
        ride=given.slip_position,
        bump=found.slip_in_left / stroke,
        droop=1 - found.slip_out_left / stroke,
        engaged=given.engaged_fully_out / stroke,
        stroke=phrase("stroke {of}", of=_of(stroke)),
        left_in=_left(found.slip_in_left, phrase("at bump"), "bottoms"),
        left_out=_left(found.slip_out_left, phrase("at droop"), phrase("comes apart")),
        engagement=phrase("spline at droop {of}", of=_of(found.droop_engagement)),
        spline="" if given.spline_diameter is None else _of(given.spline_diameter),
    )


def _left(room: float, where: str, fails: str) -> str:
    return (
        phrase("{where} {of} left", where=where, of=_of(room))
        if room >= 0
        else phrase("{where} {fails}: {of} too far", where=where, fails=fails, of=_of(-room))
    )


CALCULATION = Calculation(
    title=phrase("Propshaft length"),
    question=phrase("How long must the shaft be made, and has its slip joint room enough?"),
    area=phrase("Propshaft"),
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
        phrase(
            "A slip joint that bottoms breaks the gearbox; one that comes apart drops the shaft: move the axle and "
            "look."
        ),
        phrase("Measure at ride height on the wheels: an axle that hangs is not where it runs."),
        phrase("Vehicle on stands on firm ground, never on a jack alone, wheels chocked."),
        phrase("Have the shaft shortened, welded and balanced by a qualified person."),
    ),
    sources=(
        Source(phrase("Line geometry of a shaft with a slip joint"), phrase("common practice, no source")),
        Source(phrase("One and a half diameters of spline at full droop"), phrase("common practice, no source")),
    ),
    limits=(phrase("Lengths along the shaft's own line; the plunge is that of the whole suspension travel."),),
    revision=4,
    not_checked=(
        phrase("The spline's stress under its torque, and room round the shaft at full travel."),
        phrase("How far the axle moves by wind-up under torque."),
    ),
)

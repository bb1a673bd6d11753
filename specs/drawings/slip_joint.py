"""A slip joint cut along its axis: the sleeve, the splined shaft at ride height, and how far the axle drives it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Item, Line, Polyline, Role, Stroke
from specs.drawings.sections import LETTERS, box, cut, diameter, uncut

_STROKE = 66.0  # mm that the whole stroke is drawn as
_SHAFT, _SLEEVE, _ROOT = 7.0, 13.0, 5.6  # half the height of each, and of the roots of the spline
_END, _BEHIND = 10.0, 52.0  # mm: the closed end of the sleeve, and how far the shaft goes on behind its mouth
_ENGAGED = 0.7  # of the stroke: more spline than this fully out is not drawn
_PAST = 8.0  # mm that a shaft which bottoms or comes apart is drawn past the end of its stroke


@dataclass(frozen=True)
class SlipJoint:
    """Where the end of the splined shaft is, as shares of the stroke from fully in, and what is told of it in words.

    engaged: the spline still engaged fully out, as a share of the stroke. spline: its diameter, "" where not known.
    left_in and left_out: what is left at bump and at droop; engagement: the spline engaged at droop.
    """

    ride: float
    bump: float
    droop: float
    engaged: float
    stroke: str
    left_in: str
    left_out: str
    engagement: str
    spline: str = ""


def slip_joint(joint: SlipJoint) -> Iterator[Item]:
    """Draw the sleeve hatched, the shaft whole as shafts are, its ends at bump and droop in double-dashed lines."""
    mouth = _STROKE * (1 + min(joint.engaged, _ENGAGED))
    ride, bump, droop = (_drawn(share) for share in (joint.ride, joint.bump, joint.droop))
    yield from _sleeve(mouth)
    yield uncut(box(ride, mouth + _BEHIND, -_SHAFT, _SHAFT))
    for side in (1, -1):
        yield Line((ride, side * _ROOT), (mouth + _BEHIND, side * _ROOT), stroke=Stroke.NARROW)
    yield Line((-_END - 6, 0), (mouth + _BEHIND + 6, 0), role=Role.CENTRE)
    for end, fits in ((bump, joint.bump >= 0), (droop, joint.droop <= 1)):
        role = Role.OUTLINE if fits else Role.CLASH
        corners = (end + 6, _SHAFT), (end, _SHAFT), (end, -_SHAFT), (end + 6, -_SHAFT)
        yield Polyline(corners, role=role, stroke=Stroke.DOUBLE_CHAIN)
    yield from _told(joint, bump, droop, mouth)


def _drawn(share: float) -> float:
    return min(max(share * _STROKE, -_PAST), _STROKE + _PAST)


def _sleeve(mouth: float) -> Iterator[Item]:
    yield from cut(
        (
            *((-_END, -_SLEEVE), (mouth, -_SLEEVE), (mouth, -_SHAFT), (0, -_SHAFT), (0, _SHAFT)),
            *((mouth, _SHAFT), (mouth, _SLEEVE), (-_END, _SLEEVE)),
        )
    )


def _told(joint: SlipJoint, bump: float, droop: float, mouth: float) -> Iterator[Item]:
    """What is left at either end above the sleeve, the stroke and the spline engaged at droop below it."""
    for start, end, words, high in (
        (droop, _STROKE, joint.left_out, 8.0),
        (0.0, bump, joint.left_in, 18.0),
        (0.0, _STROKE, joint.stroke, -10.0),
        (droop, mouth, joint.engagement, -20.0),
    ):
        side = _SLEEVE if high > 0 else -_SLEEVE
        yield DimensionLine((start, side), (end, side), words, high, height=LETTERS)
    if joint.spline:
        yield diameter(mouth + _BEHIND, 2 * _SHAFT, joint.spline, 9)

"""The picture of a clutch taking up: how the speeds of both sides come together."""

from __future__ import annotations

from specs.drawings.chart import Curve, plot
from specs.drawings.primitives import Drawing, Role
from specs.drawings.scale import Axis
from specs.engine.units import ENERGY, SPEED, TIME, show
from specs.joints.clutch_start import Start, torques
from specs.phrase import phrase


def meeting_speeds(given: Start, slip_time: float, energy: float) -> Drawing:
    """Draw both speeds over the time that it slips [s], counted from the driven side at first; energy: its heat [J]."""
    torque, engine = torques(given)
    end, first = TIME.drawn(slip_time), SPEED.drawn(given.speed_difference)
    met = SPEED.drawn(given.speed_difference + (engine - torque) / given.engine_inertia * slip_time)
    lines = [
        Curve(((0.0, first), (end, met)), "engine", Role.ENGINE),
        Curve(((0.0, 0.0), (end, met)), "gearbox", Role.GEARBOX),
    ]
    said = phrase(
        "The speeds meet after {show}; {show_2} of heat are made.",
        show=show(slip_time, TIME),
        show_2=show(energy, ENERGY),
    )
    return plot(
        phrase("Clutch taking up"),
        said,
        x=Axis("time", 0.0, 1.1 * end, ticks=((end, show(slip_time, TIME)),)),
        y=Axis.around(phrase("above the driven side, {drawn_unit}", drawn_unit=SPEED.drawn_unit), [0.0, first, met]),
        curves=lines,
    )

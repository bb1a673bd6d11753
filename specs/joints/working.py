"""The working of a bolted joint, line by line: its middle, overhang, slip, most loaded bolt and dowels."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from specs.engine.calculation import WorkingStep
from specs.engine.units import AREA, FORCE, LENGTH, RATIO, TORQUE, VOLUME
from specs.joints.bolted import Joint, group_of
from specs.phrase import phrase


def middle(joint: Joint) -> Iterator[WorkingStep]:
    """The middle of the bolts in use."""
    group = joint.group
    for axis, at in zip("xy", group.middle, strict=True):
        sums = {f"Sigma_A{axis}": (at * group.weight, VOLUME), "Sigma_A": (group.weight, AREA)}
        yield WorkingStep(f"{axis}_c = Sigma_A{axis} / Sigma_A", sums, phrase("middle of the bolts in use, by area"))


def overhang(joint: Joint) -> Iterator[WorkingStep]:
    """The side force with the weight of what hangs behind, and the clamp that it takes from the first bolt to open."""
    force = {"F_v": (joint.governing_force[1], FORCE), "W": (joint.weight, FORCE)}
    if not joint.overhang:
        yield WorkingStep("F_v = F_y", force)
        return
    at = joint.opening[1]
    values = {
        "W": (joint.weight, FORCE),
        "a_i": (joint.group.weights[at] / joint.group.weight, RATIO),
        "y": (joint.group.offsets[at][1], LENGTH),
        "j_y": (joint.group.mean_square_height, AREA),
        "F_i": (joint.bolts[at].preload, FORCE),
    }
    yield WorkingStep("W = n * m * 9.80665", values, phrase("weight over bumps"))
    sign = "-" if joint.governing_force[1] < joint.force[1] else "+"
    yield WorkingStep(f"F_v = F_y {sign} W", force, phrase("the way that slips sooner"))
    words = phrase(
        "bolt {name}, y above the middle; a_i: its share of area; j_y: mean square of the heights",
        name=joint.bolts[at].name,
    )
    yield WorkingStep("o = W * a * a_i * y / (j_y * F_i)", values, words)


def slip(joint: Joint) -> Iterator[WorkingStep]:
    """The loads about the centre that slips first, and the margin there."""
    found, (force_x, force_y) = joint.slip, joint.governing_force
    values = {"F_v": (force_y, FORCE)}
    if found.centre is None:
        values["Sigma_muF"] = (found.factor * hypot(force_x, force_y), FORCE)
        yield WorkingStep("s = Sigma_muF / hypot(F_x, F_v) - 1", values, phrase("it slides, on the clamp that is left"))
        return
    x, y = found.centre
    moment = joint.torque - x * force_y + y * force_x
    values |= {"x_s": (x, LENGTH), "y_s": (y, LENGTH), "M_s": (moment, TORQUE)}
    values["Sigma_muFr"] = (found.factor * abs(moment), TORQUE)
    yield WorkingStep("M_s = T - x_s * F_v + y_s * F_x", values, phrase("the loads about the centre that slips first"))
    yield WorkingStep(
        "s = Sigma_muFr / abs(M_s) - 1", values, phrase("friction of the clamp that is left, about that centre")
    )


def shear(joint: Joint, at: int) -> Iterator[WorkingStep]:
    """The force on one bolt without friction."""
    group = joint.group
    values = {
        "M": (group.moment(joint.torque, joint.governing_force), TORQUE),
        "F_v": (joint.governing_force[1], FORCE),
        "a_i": (group.weights[at] / group.weight, RATIO),
        "x": (group.offsets[at][0], LENGTH),
        "y": (group.offsets[at][1], LENGTH),
        "i_2": (group.mean_square_radius, AREA),
    }
    yield WorkingStep("M = T - x_c * F_v + y_c * F_x", values, phrase("the loads, moved to the middle"))
    yield WorkingStep(
        "V = a_i * hypot(F_x - M * y / i_2, F_v + M * x / i_2)",
        values,
        phrase(
            "bolt {name} at x and y from the middle; i_2: mean square of all distances; a_i: its share of area",
            name=joint.bolts[at].name,
        ),
    )


def dowels(joint: Joint) -> Iterator[WorkingStep]:
    """The most loaded dowel in shear, and the one that presses hardest on its hole."""
    if not joint.dowels:
        return
    group = group_of(joint.dowels)
    values = {"r_d": (max(group.radii), LENGTH), "A_d": (group.weight, AREA), "j_2": (group.mean_square_radius, AREA)}
    words = phrase("the torque on the dowels alone; j_2 as i_2, for the dowels")
    yield WorkingStep("tau_d = abs(T) * r_d / (A_d * j_2)", values, words)
    pressed = max(joint.bearings, key=lambda pair: pair[1], default=None)
    if pressed:
        dowel, pressure = pressed
        length = dowel.length or 0.0
        sizes = {
            "F_d": (pressure * dowel.diameter * length, FORCE),
            "d": (dowel.diameter, LENGTH),
            "l_d": (length, LENGTH),
        }
        yield WorkingStep(
            "p_d = F_d / (d * l_d)", sizes, phrase("dowel {name}; F_d: its share of the torque", name=dowel.name)
        )

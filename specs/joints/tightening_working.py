"""The working of a tightening, line by line: preload, torque, stress, its range, pressure and settling."""

from __future__ import annotations

from collections.abc import Iterator

from specs.engine.calculation import WorkingStep
from specs.engine.units import AREA, FORCE, LENGTH, RATIO, STRESS, TORQUE, VOLUME, Kind
from specs.joints.seat import Ring
from specs.joints.tightening import Twisted
from specs.joints.turned_bolt import LOW_HEAD_SHARE
from specs.phrase import phrase
from specs.standards.classes import StrengthClass
from specs.written import num

Values = dict[str, tuple[float, Kind]]


def _bolt(twisted: Twisted) -> Values:
    thread = twisted.thread
    return {
        "d": (thread.major_diameter, LENGTH),
        "P": (thread.pitch, LENGTH),
        "d_2": (thread.pitch_diameter, LENGTH),
        "d_0": (thread.mean_diameter, LENGTH),
        "A": (thread.stress_area, AREA),
        "mu_G": (twisted.friction, RATIO),
        "q": (twisted.share, RATIO),
        "k": (twisted.factor, RATIO),
        "T_A": (twisted.start, FORCE),
        "W_t": (twisted.resistance, VOLUME),
    }


def preload(
    twisted: Twisted, limit: float, strength: StrengthClass, share: float, by_yield: bool
) -> Iterator[WorkingStep]:
    """The preload from the strength that is left beside twist. limit: yield or proof stress of the bolt [Pa]."""
    values = {**_bolt(twisted), "R": (limit, STRESS), "S_p": (limit, STRESS)}
    yield WorkingStep(
        "q = 1.5 * d_2 / d_0 * (P / (pi * d_2) + 2 / sqrt(3) * mu_G)",
        values,
        phrase("twist over tension"),
    )
    yield WorkingStep("k = sqrt(1 + 3 * q**2)", values, phrase("combined stress over tension"))
    low = f"{LOW_HEAD_SHARE} of " if share < 1 else ""
    if not by_yield:
        yield WorkingStep(
            "F = A * u * S_p",
            values,
            phrase("S_p is {low}the proof stress of {grade} at this size", low=low, grade=strength.grade),
        )
        return
    note = phrase(
        "R is {low}{yield_kind} of {grade} at this size", low=low, yield_kind=strength.yield_kind, grade=strength.grade
    )
    if not twisted.prevailing:
        yield WorkingStep("F = A * u * R / k", values, note)
        return
    yield WorkingStep("W_t = pi * d_0**3 / 12", values, phrase("plastic section against twist"))
    yield WorkingStep("T_A = T_p * A / W_t", values, phrase("the prevailing torque's twist"))
    yield WorkingStep("F = (sqrt((k * A * u * R)**2 - 3 * T_A**2) - 3 * q * T_A) / k**2", values, note)


def torque(twisted: Twisted, diameter: float | None, friction: float) -> Iterator[WorkingStep]:
    """The torque of that preload. diameter: mean, of the turned face [m], None where a nut factor takes its place."""
    values = _bolt(twisted)
    yield WorkingStep(
        "T_G = F * (P / (2 * pi) + d_2 * mu_G / sqrt(3))", values, phrase("lead and friction of the thread")
    )
    more = " + T_p" if twisted.prevailing else ""
    if diameter is None:
        yield WorkingStep(f"T = K_given * F * d{more}", values, phrase("by the nut factor"))
    else:
        under = {**values, "D_Km": (diameter, LENGTH), "mu_K": (friction, RATIO)}
        yield WorkingStep(f"T = T_G + F * D_Km * mu_K / 2{more}", under, phrase("and friction under the head"))
    yield WorkingStep("K = T / (F * d)", values)


def stress(twisted: Twisted, limit: float) -> Iterator[WorkingStep]:
    """The combined stress at that preload, and over the bolt's yield stress [Pa]."""
    values = {**_bolt(twisted), "R": (limit, STRESS)}
    yield WorkingStep(f"sigma_v = {_combined('F', twisted)}", values)
    yield WorkingStep("y = sigma_v / R", values)


def _combined(force: str, twisted: Twisted) -> str:
    if not twisted.prevailing:
        return f"{force} / A * k"
    return f"sqrt({force}**2 + 3 * (q * {force} + T_A)**2) / A"


def range_of(
    twisted: Twisted, set_to: float, diameter: float | None, greatest: float | None, factor: float | None
) -> Iterator[WorkingStep]:
    """Least and greatest preload at the torque that is set [N·m], and the stress at the greatest."""
    values = {**_bolt(twisted), "T_set": (set_to, TORQUE)}
    less = " - T_p" if twisted.prevailing else ""
    if factor is not None:
        yield WorkingStep(f"F_max = F * (T_set{less}) / (T{less})" if less else "F_max = F * T_set / T", values)
        yield WorkingStep("F_min = F_max / alpha_A", values, phrase("the tightening factor sets them apart"))
    else:
        values |= {
            "D_Km": (diameter or 0.0, LENGTH),
            "mu_1": (twisted.friction, RATIO),
            "mu_2": (greatest or 0.0, RATIO),
        }
        for name, sign, mu in (("max", "+", "mu_1"), ("min", "-", "mu_2")):
            lever = f"P / (2 * pi) + d_2 * {mu} / sqrt(3) + D_Km * {mu} / 2"
            words = (
                phrase("the wrench's high side, least friction")
                if name == "max"
                else phrase("its low side, greatest friction")
            )
            if name == "max" or greatest is not None:
                yield WorkingStep(f"F_{name} = (T_set * (1 {sign} w){less}) / ({lever})", values, words)
    yield WorkingStep(f"sigma_g = {_combined('F_max', twisted)}", values)


def pressure(ring: Ring, force: float) -> Iterator[WorkingStep]:
    """The pressure of a force [N] on the ring under the head."""
    values = {"F_p": (force, FORCE), "D_o": (ring.outer, LENGTH), "D_h": (ring.inner, LENGTH)}
    yield WorkingStep("p = F_p / (pi / 4 * (D_o**2 - D_h**2))", values, phrase("on the ring under the head"))


def settling(amount: float, bolt: float, parts: float) -> Iterator[WorkingStep]:
    """The preload that settling takes: amount [m] over what bolt and parts give [m/N]."""
    values: Values = {"c_S": (amount / bolt, FORCE)}
    words = phrase("faces settle by {num} µm; c_S: the force that stretches the bolt so far", num=num(amount * 1e6))
    if not parts:
        yield WorkingStep("F_Z = c_S", values, words)
        return
    values["c_P"] = amount / parts, FORCE
    yield WorkingStep(
        "F_Z = 1 / (1 / c_S + 1 / c_P)", values, phrase("{words}, c_P: that squeezes the parts so far", words=words)
    )

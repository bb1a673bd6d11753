"""The preload that a bolt is aimed at, and the range that friction, wrench and a factor make of it (VDI 2230)."""

from __future__ import annotations

from specs.engine.calculation import Refused
from specs.joints.aim import PROOF, AimedBolt
from specs.joints.fastener import Fastener, turned_face
from specs.joints.tightening import Twisted
from specs.phrase import phrase


def aimed_preload(given: AimedBolt, bolt: Fastener) -> float:
    """The preload aimed at [N]. Raises Refused where the grade has no proof stress, or nothing is left of it."""
    if given.basis == PROOF:
        if bolt.proof is None:
            raise Refused(
                "basis",
                phrase("ISO 3506-1 states no proof stress for {grade}; choose yield.", grade=bolt.strength.grade),
            )
        return bolt.thread.stress_area * given.utilisation * bolt.proof
    preload = bolt.twisted.preload_at(given.utilisation * bolt.yield_strength)
    if preload is None:
        raise Refused("prevailing_torque", phrase("alone twists the bolt as far as it may be: no preload is left."))
    return preload


def turning_torque(given: AimedBolt, bolt: Fastener, preload: float, thread_torque: float) -> float:
    """The torque that reaches a preload [N], its prevailing part apart [N·m]: by friction, or by a nut factor."""
    if given.nut_factor is not None:
        return given.nut_factor * preload * bolt.thread.major_diameter
    return thread_torque + preload * turned_face(given, bolt.thread) * given.under_head / 2


def overdone(given: AimedBolt, torque: float) -> float:
    """The torque that is set over the one worked out, prevailing torque apart. Raises Refused where it is less."""
    if given.set_torque is None:
        return 1.0
    if given.set_torque <= given.prevailing_torque:
        raise Refused(
            "set_torque", phrase("must be more than the prevailing torque: it would not press the head down.")
        )
    return (given.set_torque - given.prevailing_torque) / (torque - given.prevailing_torque)


def preload_range(given: AimedBolt, bolt: Fastener, preload: float, torque: float) -> tuple[float | None, float | None]:
    """Least and greatest preload [N], None where friction or an angle leaves them open."""
    share = overdone(given, torque)
    if given.angle is not None:
        return None, None
    if given.tightening_factor is not None and not given.is_assumed:
        return preload * share / given.tightening_factor, preload * share
    if not given.has_range:
        return None, None
    set_to = given.set_torque or torque

    def reached(part: float, friction: float) -> float:
        lever = Twisted(bolt.thread, friction).lever + turned_face(given, bolt.thread) * friction / 2
        return max(set_to * part - given.prevailing_torque, 0.0) / lever

    least = None if given.greatest is None else reached(1 - given.wrench, given.greatest)
    return least, reached(1 + given.wrench, given.in_thread)


def why_open(given: AimedBolt) -> str:
    """Why the range is not known where it is not."""
    if given.angle is not None:
        return phrase("what an angle stage adds to the preload is not worked out here")
    if given.has_range:
        return phrase("VDI 2230 sets no upper end to this friction")
    return phrase("friction range not given")

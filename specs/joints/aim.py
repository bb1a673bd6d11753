"""How hard a bolt is to be tightened, with which wrench, and what else the torque has to turn."""

from __future__ import annotations

from dataclasses import dataclass

from specs.engine.calculation import choice, quantity
from specs.engine.units import ANGLE, FORCE, RATIO, TORQUE
from specs.joints.fastener import SeatedBolt
from specs.phrase import phrase

YIELD, PROOF = "yield", "proof"
# Greatest over least, of preload or friction: nobody tightens closer (VDI 2230, table A8, from memory).
_CLOSEST = 1.1
# Of yield or proof, by a tightening factor alone; VDI 2230 takes 0.9 (5.4.3, from memory).
_FULLEST = 0.95


@dataclass(frozen=True, kw_only=True)
class AimedBolt(SeatedBolt):
    """A bolt, what it meets, where it sits and how hard it is to be tightened."""

    basis: str = choice(
        phrase("Tighten to a share of"),
        (YIELD, PROOF),
        default=YIELD,
        group="Aim",
        help=phrase("yield: VDI 2230; proof: proof load"),
    )
    utilisation: float = quantity(RATIO, phrase("Share"), symbol="u", default=0.9, above=0, at_most=1, group="Aim")
    wrench: float = quantity(
        RATIO,
        phrase("Torque wrench's own error"),
        symbol="w",
        default=0.04,
        at_least=0,
        at_most=0.5,
        group="Aim",
        help=phrase("ISO 6789: 4 % of the setting"),
    )
    clamp_needed: float | None = quantity(
        FORCE,
        phrase("Clamp that the joint needs from it"),
        symbol="F_n",
        above=0,
        optional=True,
        group="Aim",
        help=phrase("as its bolt group was worked out with; without it nobody can say whether what is left is enough"),
    )
    set_torque: float | None = quantity(
        TORQUE,
        phrase("Torque that is set, where it is another"),
        symbol="T_set",
        above=0,
        optional=True,
        group="Aim",
        help=phrase("a published or a rounded figure: what it does to this bolt"),
    )
    prevailing_torque: float = quantity(
        TORQUE,
        phrase("Prevailing torque"),
        symbol="T_p",
        default=0,
        at_least=0,
        group="Aim",
        help=phrase("of a locking nut or patch, felt before the head sits; part of the torque that is set"),
    )
    angle: float | None = quantity(
        ANGLE,
        phrase("Angle turned after the torque"),
        above=0,
        optional=True,
        group="Aim",
        help=phrase("past this calculation"),
    )

    @property
    def too_sure(self) -> str | None:
        """Say what was given closer than any tightening is; nothing where it is believable."""
        if self.tightening_factor is not None and self.tightening_factor < _CLOSEST:
            return phrase("no tightening is as even as that factor says: VDI 2230 gives 1.4 to 2.5 by torque wrench")
        if self.tightening_factor is not None and self.utilisation > _FULLEST:
            return phrase("so near to yield the factor leaves nothing for what it does not cover: VDI 2230 takes 0.9")
        if not self.has_range:
            return None
        if self.greatest is not None and self.greatest < _CLOSEST * self.in_thread:
            return phrase("no friction is known that closely: give its range")
        return None if self.wrench else phrase("no wrench is without error: ISO 6789 allows 4 % of the setting")

    @property
    def head_words(self) -> str:
        """Of a head that bears less than the thread: how much of it."""
        return phrase(", of which a {head} head bears 0.8", head=self.head) if self.strength_share < 1 else ""

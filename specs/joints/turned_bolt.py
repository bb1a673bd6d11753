"""A bolt that is turned: its thread, strength and head, and the range of friction that it meets."""

from __future__ import annotations

from dataclasses import dataclass

from specs.engine.calculation import Refused, choice, quantity, text
from specs.engine.units import LENGTH, RATIO
from specs.phrase import phrase
from specs.standards import classes, heads
from specs.standards import friction as conditions

# Heads too low for the full load of their thread: ISO 10642, ISO 7380-1, DIN 7984, DIN 6912. Their standards state 80 %
# of the breaking load; it is taken of yield and proof as well (ISO 14581, ISO 7380-2 and, of countersunk heads'
# preload, DIN 7991 read; DIN 7984 and DIN 6912 from memory, so that they bear no verdict).
LOW_SOCKET = phrase("low socket")
LOW_HEADS = ("countersunk", "button", LOW_SOCKET)
LOW_HEAD_SHARE = 0.8
# What is reckoned with where no friction at all is given: a figure, never a verdict.
_ASSUMED = 0.12


@dataclass(frozen=True, kw_only=True)
class TurnedBolt:
    """The bolt of a tightening."""

    thread: str = text(phrase("Thread"), group="Bolt", help=phrase("M10, M10x1.25, 1/2-20 UNF"))
    grade: str = choice(
        phrase("Property class or grade"),
        classes.grades(),
        group="Bolt",
        help=phrase("as marked on the head; SAE for inch bolts"),
    )
    head: str = choice(
        phrase("Head"),
        (*heads.kinds(), *LOW_HEADS[1:]),
        default="hex",
        group="Bolt",
        help=phrase(
            "the turned face; countersunk and button heads bear 0.8 of the load; low socket heads: from memory, check"
        ),
    )
    bearing_diameter: float | None = quantity(
        LENGTH,
        phrase("Mean diameter of the turned face"),
        symbol="D_Km",
        above=0,
        optional=True,
        group="Bolt",
        help=phrase(
            "instead of a head's: (outside of the bearing face + hole) / 2; needed for inch bolts and low heads"
        ),
    )

    @property
    def strength_share(self) -> float:
        """What the head leaves of the thread's strength."""
        return LOW_HEAD_SHARE if self.head in LOW_HEADS else 1.0


@dataclass(frozen=True, kw_only=True)
class Friction:
    """Friction of the threads and of the face that is turned, head or nut: a range, or one figure of each."""

    friction: str | None = choice(
        phrase("Friction"),
        conditions.names(),
        optional=True,
        group="Friction",
        help=phrase("surface and lubricant on the bench, VDI 2230 classes A to E; sets least and greatest friction"),
    )
    mu_low: float | None = quantity(
        RATIO,
        phrase("Least friction"),
        symbol="mu_min",
        above=0,
        at_most=1,
        optional=True,
        group="Friction",
        help=phrase("instead of a row of the table; in thread and under head alike"),
    )
    mu_high: float | None = quantity(
        RATIO, phrase("Greatest friction"), symbol="mu_max", above=0, at_most=1, optional=True, group="Friction"
    )
    mu_thread: float | None = quantity(
        RATIO,
        phrase("Friction in the thread"),
        symbol="mu_G",
        above=0,
        at_most=1,
        optional=True,
        group="Friction",
        help=phrase("one figure without its range: ") + conditions.guide(),
    )
    mu_head: float | None = quantity(
        RATIO,
        phrase("Friction under the head"),
        symbol="mu_K",
        above=0,
        at_most=1,
        optional=True,
        group="Friction",
        help=phrase("as in the thread, for the faces that turn on each other"),
    )
    nut_factor: float | None = quantity(
        RATIO,
        phrase("Nut factor, where the torque shall follow from it"),
        symbol="K_given",
        above=0,
        at_most=1,
        optional=True,
        group="Friction",
        help=phrase("torque = K F d, from a trial on the same joint"),
    )
    tightening_factor: float | None = quantity(
        RATIO,
        phrase("Tightening factor, greatest over least preload"),
        symbol="alpha_A",
        at_least=1,
        optional=True,
        group="Friction",
        help=phrase("instead of a range of friction, never beside one; VDI 2230: 1.4 to 2.5 by torque wrench"),
    )

    @property
    def has_range(self) -> bool:
        return self.friction is not None or self.mu_low is not None

    @property
    def least(self) -> float | None:
        """The least friction of the range."""
        return conditions.find(self.friction).lowest if self.friction else self.mu_low

    @property
    def greatest(self) -> float | None:
        """The greatest friction of the range; None where VDI 2230 sets no upper end."""
        return conditions.find(self.friction).highest if self.friction else self.mu_high

    @property
    def in_thread(self) -> float:
        """The friction at which the bolt is tightened hardest: the least of a range."""
        return self.least or self.mu_thread or _ASSUMED

    @property
    def under_head(self) -> float:
        return self.least or self.mu_head or _ASSUMED

    @property
    def is_assumed(self) -> bool:
        """Whether no friction of thread or head was given at all."""
        return not self.has_range and (self.mu_thread is None or self.mu_head is None)


def demand_friction(given: Friction) -> None:
    """Refuse friction that is said twice or by halves. Raises Refused at the input that is too many or missing."""
    if given.friction and (given.mu_low is not None or given.mu_high is not None):
        raise Refused("friction", phrase("sets least and greatest friction: choose a row, or type the two, not both."))
    if (given.mu_low is None) != (given.mu_high is None):
        raise Refused(
            "mu_low" if given.mu_low is None else "mu_high", phrase("Least and greatest friction belong together.")
        )
    if given.mu_low is not None and given.mu_high is not None and given.mu_high < given.mu_low:
        raise Refused("mu_high", phrase("must be at least the least friction."))
    if given.has_range:
        for name in ("mu_thread", "mu_head", "nut_factor", "tightening_factor"):
            if getattr(given, name) is not None:
                raise Refused(
                    name, phrase("Leave this empty where a range of friction is given: the range takes its place.")
                )

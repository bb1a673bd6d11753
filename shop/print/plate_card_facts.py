"""What the papers of a plate say, frozen when printed: its holes with their operations, and whether it may be cut.

Lengths in mm, as seen from the gearbox side. A class that has `said` took the place of a text: older sheets kept that
alone, in English, and only `of_old` reads anything out of its words.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from shop.base.language import gettext_lazy
from shop.print.facts import Heading, Pair, Told
from specs.plate.machining import HoleOperation, turn_of
from specs.plate.sides import Side

# How deep a dowel is reamed that no figure places well enough.
IN_PLACE = gettext_lazy("LAST, in place on the face's own dowels")
SEATS = gettext_lazy(", with the seats that are cut for the heads")


@dataclass(frozen=True)
class ToolFacts:
    """A tool in words; `sized`: with the sign of a diameter before its size. thread: what a tap cuts, "M12 6H"; empty
    where it is no tap, or where its thread is not on record.
    """

    said: str
    sized: str = ""
    thread: str = ""

    @classmethod
    def of_old(cls, said: str) -> ToolFacts:
        sized = re.sub(r"^(drill|reamer|counterbore|countersink 90°,) (?=[0-9])", r"\1 Ø", said)
        return cls(said, sized, said.removeprefix("tap ") if said.startswith("tap ") else "")


@dataclass(frozen=True)
class DepthFacts:
    """How deep in words; in_place: on the face itself, because no figure places the hole well enough."""

    said: str
    in_place: bool = False

    @classmethod
    def of_old(cls, said: str) -> DepthFacts:
        return cls(said, said == IN_PLACE)


@dataclass(frozen=True)
class WallFacts(Told):
    """What is left between holes, windows and edge; `stops` where it is too thin. brief: without the seats."""

    brief: str = ""

    @classmethod
    def of_old(cls, said: str) -> WallFacts:
        return cls(said, said.startswith("DO NOT"), said.replace(SEATS, ""))


@dataclass(frozen=True)
class OperationFacts:
    """One operation: work, side, tool, depth; the tool's diameter."""

    work: HoleOperation
    side: Side
    tool: ToolFacts
    depth: DepthFacts
    diameter: float


@dataclass(frozen=True)
class HoleFacts:
    """A hole of a plate."""

    name: str
    of: str
    x: float
    y: float
    diameter: float
    widest: float
    kind: str
    operations: tuple[OperationFacts, ...]
    decimals: int = 2


@dataclass(frozen=True)
class WindowFacts:
    """A window of a plate: round with a diameter, or corners in order."""

    name: str
    x: float
    y: float
    diameter: float
    corners: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class PlateFacts:
    """Everything that the machinist's sheets, template and files of a plate say."""

    heading: Heading
    origins: tuple[Pair, ...]
    status: tuple[Told, ...]
    relied_on: bool
    material: str
    thickness: float
    wall: WallFacts
    outline: tuple[tuple[float, float], ...]
    holes: tuple[HoleFacts, ...]
    windows: tuple[WindowFacts, ...]
    mass: str
    left_out: tuple[Pair, ...]
    cautions: tuple[str, ...] = ()

    @property
    def stops(self) -> tuple[str, ...]:
        """Why it may not be cut, with how it stands; a wall that is thick enough is no reason."""
        return tuple(one.said for one in (*self.status, *([self.wall] if self.wall.stops else [])))

    @property
    def forbids(self) -> tuple[str, ...]:
        """What is said of it that forbids to cut it."""
        return tuple(one.said for one in (*self.status, self.wall) if one.stops)

    @property
    def told(self) -> tuple[str, ...]:
        """What is said of it besides."""
        return tuple(one.said for one in (*self.status, self.wall) if not one.stops)

    def done_from(self, side: Side) -> list[tuple[HoleFacts, OperationFacts]]:
        """Every operation of that side with its hole, in the order of working."""
        done = [(hole, operation) for hole in self.holes for operation in hole.operations if operation.side == side]
        return sorted(done, key=lambda pair: turn_of(pair[1].work, pair[0].kind, pair[1].diameter))

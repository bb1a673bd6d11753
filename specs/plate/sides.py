"""The two sides of a plate, and what its holes are called by them."""

from enum import StrEnum


class Side(StrEnum):
    """A side of the plate, by what it is bolted to."""

    GEARBOX = "gearbox"
    ENGINE = "engine"


def plate_name(side: Side, hole: str) -> str:
    """What the plate's sheets call a hole that it has for the engine's or for the gearbox's sake: "E-B3", "G-D1"."""
    return f"{'E' if side is Side.ENGINE else 'G'}-{hole}"


def name_on_plate(name: str) -> str:
    """Return the plate's name for what the layout's results call it: "engine:B3" is "E-B3"; a window keeps its own."""
    side, _, hole = name.partition(":")
    return plate_name(Side(side), hole) if hole and side in tuple(Side) else name

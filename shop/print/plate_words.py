"""What the sheets of a plate say of its holes and openings: sizes, fits, limits, who locates on what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import hypot

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.written import num
from shop.print.plate_card_facts import HoleFacts, PlateFacts, WindowFacts
from shop.print.plate_drawing import seen
from specs.plate.dowel_play import upper_of_h7
from specs.plate.machining import HoleOperation
from specs.plate.pattern_doubts import REGISTER_OFF
from specs.plate.sides import Side
from specs.plate.tolerances import general_tolerance, tolerance_of

WORKS = {
    HoleOperation.DRILL: gettext_lazy("drill"),
    HoleOperation.REAM: gettext_lazy("ream"),
    HoleOperation.TAP: gettext_lazy("tap"),
    HoleOperation.SEAT: gettext_lazy("counterbore"),
    HoleOperation.SINK: gettext_lazy("countersink"),
}
SIDES = {Side.GEARBOX: gettext_lazy("gearbox side"), Side.ENGINE: gettext_lazy("engine side")}
# What somebody may write of a window that locates: it is read, not said.
_REGISTER = "register"

# How much is taken off an edge [mm]: common practice, no source.
BROKEN_EDGE = 0.5
# Letters of a hole's name that the narrow column of a table holds on one line.
_LONG = 9


def place_of(hole: HoleFacts, side: Side) -> tuple[str, str]:
    """A hole's x and y [mm] as seen from a side, with no more digits than its readings carry."""
    x, y = (f"{num(round(value, hole.decimals) + 0.0, f'.{hole.decimals}f')}" for value in (seen(hole.x, side), hole.y))
    return x, y


def bore_of(hole: HoleFacts) -> str:
    """A hole's size and fit: a tapped one by its thread, not by the diameter of a bore that nobody cuts."""
    tap = next((done.tool for done in hole.operations if done.work is HoleOperation.TAP), None)
    if tap and not tap.thread:
        return gettext("thread not on record, Ø{num}").format(num=num(hole.diameter))
    return tap.thread if tap else f"Ø{num(hole.diameter)} {tolerance_of(hole.kind, hole.diameter).bore}"


def place_off(hole: HoleFacts) -> str:
    """How far a hole may be off its place."""
    return f"± {num(tolerance_of(hole.kind, hole.diameter).place)}"


def blank_of(facts: PlateFacts) -> Iterator[tuple[str, str]]:
    """The blank that a plate is cut from, and how its edges are cut and broken."""
    if len(facts.outline) > 2:
        wide, high = size_of(facts.outline)
        yield (
            gettext("Blank"),
            gettext("{num} × {num_2} mm or more").format(num=num(wide, ".1f"), num_2=num(high, ".1f")),
        )
        yield (
            gettext("Edges"),
            gettext("± {num} mm (ISO 2768-1 m), broken {edge} × 45°").format(
                num=num(general_tolerance(max(wide, high))), edge=num(BROKEN_EDGE)
            ),
        )
    yield gettext("Mass"), facts.mass


def size_of(outline: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Width and height of an outline [mm]."""
    wide, high = (max(those) - min(those) for those in zip(*outline, strict=True))
    return wide, high


def corners_of(corners: Sequence[tuple[float, float]], side: Side) -> str:
    """Corners in order as seen from a side."""
    return "; ".join(f"{num(seen(x, side) + 0.0, '.2f')}, {num(y + 0.0, '.2f')}" for x, y in corners)


def window_words(window: WindowFacts, side: Side) -> str:
    """Size, limits and place of an opening."""
    if not window.diameter:
        return gettext("{name}: corners in order (x, y) {corners_of}").format(
            name=window.name, corners_of=corners_of(window.corners, side)
        )
    x, y = seen(window.x, side) + 0.0, window.y + 0.0
    return gettext("{name}: round Ø{num} {bored_to} at x {x}, y {y}{register}").format(
        name=window.name,
        num=num(window.diameter),
        bored_to=bored_to(window),
        x=num(x, ".2f"),
        y=num(y, ".2f"),
        register=_register(window),
    )


def is_register(window: WindowFacts) -> bool:
    """Whether a round window is the register: named so, its middle on the datum."""
    return _REGISTER in window.name.casefold() and hypot(window.x, window.y) <= REGISTER_OFF


def bored_to(window: WindowFacts) -> str:
    """The limits of a round window: a register is bored H7, any other opening to a general tolerance."""
    upper = upper_of_h7(window.diameter) if is_register(window) else 0.0
    return f"H7 +{num(upper, '.3f')}/0" if upper else f"± {num(general_tolerance(window.diameter))}"


def _register(window: WindowFacts) -> str:
    """Say of the opening round the datum whether it locates anything: its size would be another one."""
    if hypot(window.x, window.y) >= window.diameter / 2:
        return ""
    if is_register(window):
        return gettext("; REGISTER: bore it in the dowels' clamping, and gauge it against the spigot before unclamping")
    return gettext("; round the datum, no register: the dowels centre the gearbox, not this bore")


def are_long(holes: Iterable[HoleFacts]) -> bool:
    """Whether the names of holes need a wider column than most do."""
    return max((len(hole.name) for hole in holes), default=0) > _LONG

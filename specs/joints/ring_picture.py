"""The picture of a ring on its hub, cut along the axis."""

from __future__ import annotations

from specs.drawings.primitives import Drawing
from specs.drawings.sections import LETTERS, along, axis, cut_ring, diameter, sheet
from specs.engine.units import LENGTH, STRESS, show
from specs.joints.shrunk_ring import RingOnHub
from specs.phrase import phrase

# The picture's height [mm], and the widest that the contact is drawn.
_HIGH, _WIDEST = 90.0, 40.0


def ring_picture(given: RingOnHub, pressure: float) -> Drawing:
    """Draw both cut along the axis, hatched against each other, with the diameters that matter; pressure [Pa]."""
    scale = _HIGH / given.ring_outside
    width = max(min(given.width * scale, _WIDEST), 8.0)
    bore, joint, outside = (size * scale for size in (given.hub_bore, given.interface, given.ring_outside))
    sizes = [show(size, LENGTH) for size in (given.hub_bore, given.interface, given.ring_outside)]
    items = [
        *cut_ring(0, width, bore / 2, joint / 2),
        *cut_ring(0, width, joint / 2, outside / 2, 135),
        axis(-8, width + 8),
        diameter(width, joint, sizes[1], 10),
        diameter(width, outside, sizes[2], 22),
        along(0, width, -outside / 2, show(given.width, LENGTH), -8),
    ]
    if bore > 2 * LETTERS:
        items.append(diameter(0, bore, sizes[0], -8))
    pressed = phrase(
        "{show} too small, it presses with {show_2}",
        show=show(given.interference, LENGTH),
        show_2=show(pressure, STRESS),
    )
    return sheet(
        phrase("Ring shrunk on its hub"),
        phrase("A ring of ⌀{sizes} on ⌀{sizes_2}: {pressed}.", sizes=sizes[2], sizes_2=sizes[1], pressed=pressed),
        items,
    )

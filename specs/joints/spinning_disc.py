"""A disc that spins: its sizes, its material, and how hard speed pulls at its bore, keyway and bolt holes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from specs.engine.calculation import choice, quantity
from specs.engine.units import DENSITY, LENGTH, RATIO, SPEED, STRESS
from specs.phrase import phrase
from specs.standards import materials

PLAIN, KEYWAY = "plain", phrase("with a keyway")
# How many times the bore's hoop stress a keyway makes of it (from memory), and bolt holes at the least.
KEYWAY_RAISES, HOLES_RAISE = 3, 2
# Tensile strength [Pa] of S235, the weakest steel (EN 10025-2), above EN-GJL-350's; aluminium is lighter (from memory).
_WEAKEST_STEEL, _LIGHTEST_IRON = 360e6, 6900

_disc = partial(quantity, group="Disc")
_material = partial(quantity, group="Material")
_speed = partial(quantity, group="Speed")


@dataclass(frozen=True, kw_only=True)
class SpinningDisc:
    """A disc of even thickness, its material and its speed; the thickness itself does not matter."""

    outside_diameter: float = _disc(LENGTH, phrase("Outside diameter"), symbol="D", above=0)
    bore: float = _disc(LENGTH, phrase("Bore"), symbol="d", at_least=0, help=phrase("0 for a disc without a hole"))
    density: float = _material(
        DENSITY, phrase("Density"), symbol="rho", default=7850, at_least=1000, help=phrase("steel 7850, grey iron 7200")
    )
    poisson: float = _material(
        RATIO,
        phrase("Poisson's ratio"),
        symbol="nu",
        default=0.3,
        at_least=0,
        at_most=0.5,
        help=phrase("steel 0.3, grey iron 0.26"),
    )
    yield_strength: float = _material(
        STRESS,
        phrase("Yield strength"),
        symbol="R_e",
        above=0,
        help=phrase(
            "C45 normalised 305 MPa; grey iron breaks without yielding: give its tensile strength here as well"
        ),
    )
    tensile_strength: float = _material(
        STRESS,
        phrase("Tensile strength"),
        symbol="R_m",
        above=0,
        help=phrase("C45 normalised 580 MPa, EN-GJL-250 250 MPa in a test piece, less in a thick wall"),
    )
    wall_strength: float | None = _material(
        STRESS,
        phrase("Strength in the flywheel's own wall"),
        symbol="R_w",
        above=0,
        optional=True,
        help=phrase(
            "grey iron, which breaks; in a wall of 20 mm {iron_guide}; steel: leave empty",
            iron_guide=materials.iron_guide("20"),
        ),
    )
    bolt_circle: float | None = _disc(
        LENGTH,
        phrase("Bolt circle"),
        symbol="d_c",
        at_least=0,
        optional=True,
        help=phrase(
            "diameter, of the holes that lie where the stress is greatest: the innermost; 0 for no holes at all"
        ),
    )
    bore_form: str = choice(phrase("Bore is"), (PLAIN, KEYWAY), default=PLAIN, group="Disc")
    speed: float = _speed(SPEED, phrase("Greatest engine speed"), symbol="omega", above=0)
    overspeed: float = _speed(
        RATIO, phrase("Overspeed factor"), symbol="k", default=1.2, at_least=1, help=phrase("for a missed shift")
    )

    @property
    def is_brittle(self) -> bool:
        """Whether it breaks without yielding: grey iron is entered with one strength for both."""
        return self.yield_strength >= self.tensile_strength

    @property
    def is_wall_open(self) -> bool:
        """Whether it is grey iron by its strengths, and nobody gave that of its wall."""
        is_weak = self.tensile_strength < _WEAKEST_STEEL and self.density >= _LIGHTEST_IRON
        return self.wall_strength is None and (is_weak or self.is_brittle)


def peak_stress(given: SpinningDisc, bore_stress: float) -> tuple[float, str]:
    """The greatest local stress at overspeed [Pa] of the places that were told, and where it lies."""
    places = {"the bore": bore_stress}
    if given.bore_form == KEYWAY:
        places["the keyway"] = KEYWAY_RAISES * bore_stress
    if given.bolt_circle:
        hoop, radial = stresses(given, given.bolt_circle / 2)
        places["the bolt holes"] = max(HOLES_RAISE * bore_stress, 3 * hoop - radial)
    place = max(places, key=lambda at: places[at])
    return places[place] * given.overspeed**2, place


def stresses(given: SpinningDisc, radius: float) -> tuple[float, float]:
    """Hoop and radial stress [Pa] at a radius [m] within the disc, at the engine's greatest speed (Shigley §3-15)."""
    outer, inner, nu = given.outside_diameter / 2, given.bore / 2, given.poisson
    scale = given.density * given.speed**2 * (3 + nu) / 8
    # At the centre of a full disc the term of the bore is 0/0; there is no bore.
    bore_term = (outer * inner / radius) ** 2 if inner else 0.0
    hoop = scale * (outer**2 + inner**2 + bore_term - (1 + 3 * nu) / (3 + nu) * radius**2)
    return hoop, scale * (outer**2 + inner**2 - bore_term - radius**2)

"""How hot the face of a metal plate gets under a clutch that slips on it. SI throughout."""

from __future__ import annotations

import math
from dataclasses import dataclass

# Of a half-space whose surface takes a heat flow that falls evenly to nothing: greatest rise over q₀·√(t/(k·ρ·c)).
FLASH = 2 * math.sqrt(2) / (3 * math.sqrt(math.pi))
# Up to this Fourier number a plate warms at its face as a half-space does, to 1 % (held against the series for a plate
# that loses nothing at its back).
THICK = 0.5


@dataclass(frozen=True)
class Metal:
    """Conductivity k [W/(m·K)], density ρ [kg/m³] and specific heat c [J/(kg·K)]."""

    conductivity: float
    density: float
    specific_heat: float

    def flash(self, flow: float, time: float) -> float:
        """Greatest rise [K] of a thick plate's face under a heat flow [W/m²] that falls to nothing in a time [s].

        Carslaw and Jaeger: 0.532·q₀·√(t/(k·ρ·c)).
        """
        return FLASH * flow * math.sqrt(time / (self.conductivity * self.density * self.specific_heat))

    def fourier_number(self, thickness: float, time: float) -> float:
        """How deep heat goes in a time [s] into a plate [m], k·t/(ρ·c·h²): past 1 it warms as a whole."""
        return self.conductivity * time / (self.density * self.specific_heat * thickness**2)

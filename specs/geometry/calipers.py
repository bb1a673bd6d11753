"""Centre distances from caliper readings over or between two holes."""

from dataclasses import dataclass
from math import hypot

from specs.phrase import phrase


@dataclass(frozen=True)
class Estimate:
    """A length and its standard uncertainty, in one unit."""

    value: float
    sigma: float


def centre_distance(reading: Estimate, first: Estimate, second: Estimate, *, outside: bool) -> Estimate:
    """Distance of two hole centres from a reading of edge to edge and both diameters.

    `outside`: over the far edges, reading − (d₁ + d₂)/2; else over the wall between the near edges, reading +
    (d₁ + d₂)/2. The readings are taken as independent: σ² = σ_r² + (σ₁² + σ₂²)/4. ValueError where a diameter is not
    above 0, or the far edges are nearer than the holes are large.
    """
    if first.value <= 0 or second.value <= 0:
        raise ValueError(phrase("A hole's diameter must be above 0."))
    half = (first.value + second.value) / 2
    value = reading.value - half if outside else reading.value + half
    if value <= 0:
        raise ValueError(
            phrase("The reading over both holes is too short for these diameters: was it the wall between them?")
        )
    return Estimate(value, hypot(reading.sigma, first.sigma / 2, second.sigma / 2))

"""What of this room rests on a hole pattern or a reading."""

from shop.base.dependents import Rests, named
from specs.models import HolePattern, Measurement


def _chosen(reading: Measurement) -> str:
    chosen = reading.dimension.chosen_id == reading.pk
    return f"It is the reading that counts for {reading.dimension}: another would count instead." if chosen else ""


RESTS = [
    Rests(HolePattern, lambda pattern: named("Mating features made of it", pattern.mating_features.active())),
    Rests(Measurement, _chosen),
]

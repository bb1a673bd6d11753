"""What of this room rests on a hole pattern or a reading."""

from django.utils.translation import gettext

from shop.base.dependents import Rests, named
from specs.models import HolePattern, Measurement


def _chosen(reading: Measurement) -> str:
    chosen = reading.dimension.chosen_id == reading.pk
    return (
        gettext("It is the reading that counts for {dimension}: another would count instead.").format(
            dimension=reading.dimension
        )
        if chosen
        else ""
    )


RESTS = [
    Rests(HolePattern, lambda pattern: named(gettext("Mating features made of it"), pattern.mating_features.active())),
    Rests(Measurement, _chosen),
]

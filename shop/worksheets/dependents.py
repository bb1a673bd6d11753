"""The worksheets that take their inputs from a hole pattern or from the dimension of a reading."""

from shop.base.dependents import Resting, Rests, named
from shop.base.language import gettext_lazy
from shop.worksheets.models import Worksheet
from specs.models import HolePattern, Measurement

TAKE_IT = gettext_lazy("Worksheets that reckon with it and would change")


def _of_pattern(pattern: HolePattern) -> list[Resting]:
    return named(str(TAKE_IT), Worksheet.objects.active().filter(inputs__pattern=pattern).distinct())


def _of_reading(reading: Measurement) -> list[Resting]:
    return named(str(TAKE_IT), Worksheet.objects.active().filter(inputs__dimension=reading.dimension_id).distinct())


RESTS = [Rests(HolePattern, _of_pattern), Rests(Measurement, _of_reading)]

"""Records for the addresses of components and what was measured of them."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.measuring import make_dimension, make_feature, make_pattern, make_reading, make_specimen


def examples(people: dict[str, User]) -> dict[str, Any]:
    specimen = make_specimen()
    component = specimen.component
    reading = make_reading(dimension=make_dimension(component=component), person=people["fitter"])
    pattern = make_pattern(component=component, person=people["fitter"])
    return {
        "measuring/components/": component,
        "measuring/specimens/": specimen,
        "measuring/dimensions/": reading.dimension,
        "measuring/readings/": reading,
        "measuring/features/": make_feature(component=component),
        "measuring/patterns/": pattern,
        "measuring:pattern-compare": {
            "pk": pattern.pk,
            "other": make_pattern(component=component, face="rear face").pk,
        },
    }

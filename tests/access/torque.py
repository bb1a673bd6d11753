"""Records for the addresses of torque specs."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.measuring import make_torque_spec


def examples(people: dict[str, User]) -> dict[str, Any]:
    spec = make_torque_spec()
    return {"torque/specs/": spec, "torque/components/": spec.component}

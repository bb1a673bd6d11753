"""A torque as everybody reads it: what a wrench is set to, in the words of every page, card and list."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from shop.base.language import gettext_lazy
from shop.base.written import num
from specs.engine.units import TORQUE, System, unit_text
from specs.written import wrench_torque

NO_TORQUE = gettext_lazy("No approved torque: do not tighten")


def torque_text(torque: float, system: System = "metric") -> str:
    """Write a torque [N·m] as every step, sign-off, card, spec and list writes it: as a wrench of that unit is set.

    >>> torque_text(47.4536), torque_text(47.4536, "inch")
    ('47 N·m', '35 lbf·ft')
    """
    unit = TORQUE.unit_for(system)
    return f"{num(wrench_torque(TORQUE.from_si(torque, unit)))} {unit_text(unit)}"


def typed_torque(typed: str) -> str:
    """A torque as it was typed, its unit with the sign that everybody reads.

    >>> typed_torque("82 Nm"), typed_torque("63 lbf·ft"), typed_torque("40Nm")
    ('82 N·m', '63 lbf·ft', '40 N·m')
    """
    return re.sub(r"(?<=\d) ?Nm\b", " N·m", typed)


def stage_text(stage: Mapping[str, Any], system: System = "metric") -> str:
    """Write a stage of a torque spec: a torque in the reader's unit, as a wrench is set to it; an angle as typed.

    >>> stage_text({"kind": "torque", "value": 30.0, "typed": "30 Nm"}, "inch")
    '22 lbf·ft'
    >>> stage_text({"kind": "angle", "value": 1.5708, "typed": "90°"}, "inch")
    '90°'
    """
    return torque_text(stage["value"], system) if stage["kind"] == "torque" else str(stage["typed"])

"""What the vehicle does in a step that can hurt somebody: such a step is guarded."""

from __future__ import annotations

from django.core.exceptions import ValidationError

HAZARDS: dict[str, str] = {
    "none": "none of these",
    "runs": "the engine or driveline runs",
    "lifts": "the vehicle, engine or gearbox is lifted",
    "drives": "the vehicle is driven",
    "hands over": "the vehicle is handed over",
}


def is_guarded(hazard: str) -> bool:
    """Whether a step with this hazard neither starts nor finishes while anything is open."""
    return hazard != "none"


def known_hazard(hazard: str) -> None:
    """Refuse a hazard that is not one of HAZARDS; checked in code, so that a new one needs no migration."""
    if hazard not in HAZARDS:
        raise ValidationError(f"Choose one of: {', '.join(HAZARDS)}.")

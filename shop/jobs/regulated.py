"""What the law looks at: the parts of a vehicle whose change needs licensed approval before the road."""

from __future__ import annotations

SUBJECTS: dict[str, str] = {
    "brakes": "brakes, their lines and their assistance",
    "steering": "steering",
    "structure": "structure: cut, welded or drilled",
    "restraint": "seats, belts and their anchorages",
    "emissions": "emissions: engine, exhaust, control units",
    "noise": "noise",
}

CAUTION = (
    "What touches brakes, steering, structure, restraint, emissions or noise must be passed by a licensed person "
    "before the vehicle goes on the road. Local rules decide; this record only keeps the evidence."
)


def why_unknown(subject: str) -> str:
    """Say why a subject is refused, or "" when it is one of SUBJECTS."""
    if subject in SUBJECTS:
        return ""
    return f"Choose one of: {', '.join(SUBJECTS)}."

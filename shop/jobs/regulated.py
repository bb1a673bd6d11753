"""What the law looks at: the parts of a vehicle whose change needs licensed approval before the road."""

from __future__ import annotations

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from specs.phrase import joined, phrase

SUBJECTS: dict[str, str] = {
    "brakes": gettext_lazy("brakes, their lines and their assistance"),
    "steering": gettext_lazy("steering"),
    "structure": gettext_lazy("structure: cut, welded or drilled"),
    "restraint": gettext_lazy("seats, belts and their anchorages"),
    "emissions": gettext_lazy("emissions: engine, exhaust, control units"),
    "noise": gettext_lazy("noise"),
}

_SHORT = {"structure": gettext_lazy("structure"), "emissions": gettext_lazy("emissions")}

CAUTION = gettext_lazy(
    "What touches brakes, steering, structure, restraint, emissions or noise must be passed by a licensed person "
    "before the vehicle goes on the road. Local rules decide; this record only keeps the evidence."
)


def in_short(subject: str) -> str:
    """A subject in as few words as there are for it."""
    return _SHORT.get(subject) or SUBJECTS.get(subject, subject)


def why_unknown(subject: str) -> str:
    """Say why a subject is refused, or "" when it is one of SUBJECTS."""
    if subject in SUBJECTS:
        return ""
    return gettext("Choose one of: {SUBJECTS}.").format(SUBJECTS=joined(", ", map(phrase, SUBJECTS)))

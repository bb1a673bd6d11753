"""Writing torque specs: a second person confirms what was changed."""

from __future__ import annotations

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.records import save_as
from shop.base.roles import Person, require
from shop.base.written import kept_text
from shop.torque.confirmation import change_to_confirm
from specs.models import TorqueSpec


@transaction.atomic
def confirm_spec(*, spec: TorqueSpec, asked_for: str, person: Person, now: datetime) -> TorqueSpec:
    """Record that a second person confirms what a changed spec asks for now.

    asked_for: what that person was shown. Refused for whoever changed it, and where it is another by now.
    """
    require(person, "torque.edit")
    change = change_to_confirm(spec)
    if change is None:
        return spec
    if spec.asked_for != asked_for:
        raise ValidationError(gettext("This torque spec was changed meanwhile. Look at it again."))
    if change.person_id == person.pk:
        raise ValidationError(gettext("The second person must be somebody else than the one who changed it."))
    spec.checked_as, spec.checked_by_id, spec.checked_at = spec.asked_for, person.pk, now
    fields = ["checked_as", "checked_by", "checked_at"]
    return save_as(spec, person=person, reason=kept_text("confirmed by a second person"), fields=fields)

"""What can be done to customers, vehicles and the pieces in them."""

from __future__ import annotations

from datetime import date, datetime
from typing import TypeVar

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction

from shop.people.roles import require
from shop.vehicles.models import Customer, Fitted, Vehicle
from shop.vehicles.rules import why_not_past
from specs.models import Specimen

Record = TypeVar("Record", bound=models.Model)


def keep(record: Record, *, by: User, why: str = "", fields: list[str] | None = None) -> Record:
    """Check a record whole and save it, with the person and the reason in its history.

    The database holds the constraints; asking it about each of them beforehand would cost a query each. Only when it
    refuses are they gone through, for the words.
    """
    record.full_clean(validate_constraints=False)
    record._history_user = by  # type: ignore[attr-defined]
    record._change_reason = why[:100] or None  # type: ignore[attr-defined]
    try:
        with transaction.atomic():
            record.save(update_fields=fields if record.pk else None)
    except IntegrityError:
        record.validate_constraints()
        raise
    return record


def set_aside(record: Record, *, by: User, why: str, now: datetime) -> Record:
    """Withdraw a record: it stays readable, with the reason. Callers check who may, and what hangs on it."""
    if not why.strip():
        raise ValidationError({"why": "Say why it is withdrawn."})
    if record.is_withdrawn:  # type: ignore[attr-defined]
        return record
    record.withdrawn_reason, record.withdrawn_at, record.withdrawn_by = why.strip(), now, by  # type: ignore[attr-defined]
    record._history_user = by  # type: ignore[attr-defined]
    record.save(update_fields=["withdrawn_reason", "withdrawn_at", "withdrawn_by"])
    return record


@transaction.atomic
def save_customer(customer: Customer, *, by: User) -> Customer:
    """Record a new customer, or a changed one."""
    require(by, "vehicles.manage")
    return keep(customer, by=by)


@transaction.atomic
def save_vehicle(vehicle: Vehicle, *, by: User) -> Vehicle:
    """Record a new vehicle, or a changed one."""
    require(by, "vehicles.manage")
    return keep(vehicle, by=by)


@transaction.atomic
def withdraw_customer(customer: Customer, *, by: User, why: str, now: datetime) -> Customer:
    """Set a customer aside; refused while a vehicle of theirs stands in the list."""
    require(by, "vehicles.manage")
    if vehicle := customer.vehicles.standing().first():
        raise ValidationError(
            f"{vehicle} still belongs to {customer}. Withdraw the vehicle or change its customer first."
        )
    return set_aside(customer, by=by, why=why, now=now)


@transaction.atomic
def withdraw_vehicle(vehicle: Vehicle, *, by: User, why: str, now: datetime) -> Vehicle:
    """Set a vehicle aside; refused while a job on it stands."""
    require(by, "vehicles.manage")
    if job := vehicle.jobs.standing().first():
        raise ValidationError(f"The job “{job}” is on this vehicle. Withdraw the job first.")
    return set_aside(vehicle, by=by, why=why, now=now)


@transaction.atomic
def fit(*, vehicle: Vehicle, specimen: Specimen, place: str, since: date | None, by: User, today: date) -> Fitted:
    """Record that a piece went into a place. Refused, in words, while either the piece or the place is taken."""
    require(by, "vehicles.manage")
    if since and (refused := why_not_past(since, today)):
        raise ValidationError({"since": refused})
    if there := Fitted.objects.in_now().filter(specimen=specimen).select_related("vehicle").first():
        words = f"It is in {there.vehicle} as {there.place}. Record that it was taken out there first."
        raise ValidationError({"specimen": words})
    if holds := vehicle.fitted.in_now().filter(place__iexact=place.strip()).with_component().first():
        raise ValidationError({"place": f"{holds.specimen} is in this place. Record that it was taken out first."})
    return keep(Fitted(vehicle=vehicle, specimen=specimen, place=place.strip(), since=since), by=by)


@transaction.atomic
def take_out(fitted: Fitted, *, until: date, by: User, today: date) -> Fitted:
    """Record the day a piece came out of the vehicle."""
    require(by, "vehicles.manage")
    if fitted.is_withdrawn:
        raise ValidationError("This entry was withdrawn.")
    if fitted.until is not None:
        return fitted
    if refused := why_not_past(until, today):
        raise ValidationError({"until": refused})
    if fitted.since and until < fitted.since:
        raise ValidationError({"until": f"It was put in on {fitted.since:%d %b %Y}; it cannot come out before that."})
    fitted.until = until
    return keep(fitted, by=by, fields=["until"])


@transaction.atomic
def withdraw_fitted(fitted: Fitted, *, by: User, why: str, now: datetime) -> Fitted:
    """Set aside an entry made by mistake."""
    require(by, "vehicles.manage")
    return set_aside(fitted, by=by, why=why, now=now)

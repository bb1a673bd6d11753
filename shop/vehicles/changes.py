"""What can be done to customers, vehicles and the pieces in them."""

from __future__ import annotations

from datetime import date, datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base import written
from shop.base.day_rules import why_not_past
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.vehicles.models import Customer, Fitted, Vehicle
from specs.models import Specimen


@transaction.atomic
def save_customer(customer: Customer, *, person: User) -> Customer:
    """Record a new customer, or a changed one."""
    require(person, "vehicles.manage")
    return save_as(customer, person=person)


@transaction.atomic
def save_vehicle(vehicle: Vehicle, *, person: User) -> Vehicle:
    """Record a new vehicle, or a changed one."""
    require(person, "vehicles.manage")
    return save_as(vehicle, person=person)


@transaction.atomic
def delete_customer(customer: Customer, *, person: User, reason: str, now: datetime) -> Customer:
    """Set a customer aside; refused while a vehicle of theirs stands in the list."""
    require(person, "vehicles.manage")
    if vehicle := customer.vehicles.active().first():
        raise ValidationError(
            gettext("{vehicle} still belongs to {customer}. Delete the vehicle or change its customer first.").format(
                vehicle=vehicle, customer=customer
            )
        )
    return delete_record(customer, person=person, reason=reason, now=now)


@transaction.atomic
def delete_vehicle(vehicle: Vehicle, *, person: User, reason: str, now: datetime) -> Vehicle:
    """Set a vehicle aside; refused while a job on it stands."""
    require(person, "vehicles.manage")
    if job := vehicle.jobs.active().first():
        raise ValidationError(gettext("The job “{job}” is on this vehicle. Delete the job first.").format(job=job))
    return delete_record(vehicle, person=person, reason=reason, now=now)


@transaction.atomic
def fit(
    *,
    vehicle: Vehicle,
    specimen: Specimen,
    place: str,
    since: date | None,
    person: User,
    today: date,
    now: datetime,
) -> Fitted:
    """Record that a piece went into a place. Refused, in words, while either the piece or the place is taken.

    A piece set aside for a job of this vehicle is set aside no longer; for another vehicle's it is not to be had.
    """
    require(person, "vehicles.manage")
    if since and (refused := why_not_past(since, today)):
        raise ValidationError({"since": refused})
    if ready := specimen.set_aside.filter(deleted_at=None).exclude(job__vehicle=vehicle).first():
        raise ValidationError(
            {
                "specimen": gettext("It is set aside for “{job}”, of another vehicle. Remove it there.").format(
                    job=ready.job
                )
            }
        )
    if there := Fitted.objects.in_now().filter(specimen=specimen).select_related("vehicle").first():
        words = gettext("It is in {vehicle} as {place}. Record that it was taken out there first.").format(
            vehicle=there.vehicle, place=there.place
        )
        raise ValidationError({"specimen": words})
    if holds := vehicle.fitted.in_now().filter(place__iexact=place.strip()).with_component().first():
        raise ValidationError(
            {
                "place": gettext("{specimen} is in this place. Record that it was taken out first.").format(
                    specimen=holds.specimen
                )
            }
        )
    # The jobs stand above this room: what lies ready for them is asked through the reverse relation.
    aside = specimen.set_aside.filter(deleted_at=None).select_related("job").first()
    if aside and aside.job.vehicle_id != vehicle.pk:
        words = gettext("It is set aside for “{job}”, {vehicle}. Remove it there first.").format(
            job=aside.job, vehicle=aside.job.vehicle
        )
        raise ValidationError({"specimen": words})
    fitted = Fitted(vehicle=vehicle, specimen=specimen, place=place.strip(), since=since)
    save_as(fitted, person=person)
    if aside:
        reason = written.kept_text("fitted as {place}", place=fitted.place)
        if since:
            reason = written.kept_text("fitted as {place} on {day}", place=fitted.place, day=written.kept_day(since))
        delete_record(aside, person=person, reason=reason, now=now)
    return fitted


@transaction.atomic
def take_out(fitted: Fitted, *, until: date, person: User, today: date) -> Fitted:
    """Record the day a piece came out of the vehicle."""
    require(person, "vehicles.manage")
    if fitted.is_deleted:
        raise ValidationError(gettext("This entry was deleted."))
    if fitted.until is not None:
        return fitted
    if refused := why_not_past(until, today):
        raise ValidationError({"until": refused})
    if fitted.since and until < fitted.since:
        raise ValidationError(
            {
                "until": gettext("It was put in on {day}; it cannot come out before that.").format(
                    day=written.day(fitted.since)
                )
            }
        )
    fitted.until = until
    return save_as(fitted, person=person, fields=["until"])


@transaction.atomic
def delete_fitted(fitted: Fitted, *, person: User, reason: str, now: datetime) -> Fitted:
    """Set aside an entry made by mistake."""
    require(person, "vehicles.manage")
    return delete_record(fitted, person=person, reason=reason, now=now)

"""Writing suppliers' invoices: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.base.money import in_money
from shop.base.records import delete_record, remove_record, save_as
from shop.base.roles import require
from shop.orders import refusals
from shop.orders.models import Credit, Delivery
from shop.payables.models import Invoice, InvoicedDelivery, SetOff
from shop.payables.queries import open_credits, uninvoiced


@transaction.atomic
def record_invoice(invoice: Invoice, *, deliveries: Sequence[Delivery], person: User, today: date) -> Invoice:
    """Keep an invoice, new or changed, with the deliveries that it is for. Raises Stale where it was changed."""
    require(person, "payables.record")
    _refuse_days(invoice, today)
    if invoice.is_paid:
        raise ValidationError("It is paid: take the payment back first.")
    if not invoice.recorded_by_id:
        invoice.recorded_by_id = person.pk
    invoice.full_clean(exclude=["recorded_by"])
    save_as(invoice, person=person)
    kept = {one.delivery_id: one for one in InvoicedDelivery.objects.filter(invoice=invoice)}
    wanted = {one.pk for one in deliveries}
    for key in kept.keys() - wanted:
        remove_record(kept[key], person=person)
    free = set(uninvoiced(invoice.supplier_id, besides=invoice.pk).filter(pk__in=wanted).values_list("pk", flat=True))
    if taken := wanted - free:
        raise ValidationError(
            {"deliveries": f"{len(taken)} of these are on another invoice, or were deleted meanwhile."}
        )
    for key in sorted(wanted - kept.keys()):
        save_as(InvoicedDelivery(invoice=invoice, delivery_id=key), person=person)
    return invoice


def _refuse_days(invoice: Invoice, today: date) -> None:
    errors = {"on": refusals.wrong_day(invoice.on, today, ahead=False), "due": refusals.wrong_day(invoice.due, today)}
    if invoice.due < invoice.on:
        errors["due"] = errors["due"] or "It cannot be due before its date."
    if refused := {name: words for name, words in errors.items() if words}:
        raise ValidationError(refused)


@transaction.atomic
def pay_invoice(
    invoice: Invoice,
    *,
    paid_on: date,
    paid: Decimal,
    credits: Sequence[Credit],
    anyway: bool,
    reason: str,
    person: User,
    today: date,
) -> Invoice:
    """Keep that an invoice was paid, with the credit notes set off against it, whose money came by that.

    Asks first (`anyway`, with a reason) where it is above what was delivered, or paid and set off differ from it.
    """
    require(person, "payables.record")
    held = Invoice.objects.select_for_update().get(pk=invoice.pk)
    if held.is_paid or held.is_deleted:
        raise ValidationError("It was paid or deleted meanwhile.")
    if words := refusals.wrong_day(paid_on, today, ahead=False):
        raise ValidationError({"paid_on": words})
    set_off = _held_credits(held, credits)
    total = sum((credit.amount for credit in set_off), Decimal(0))
    doubts = doubts_about(held, paid + total)
    if doubts and not (anyway and reason.strip()):
        raise ValidationError(
            {"reason" if anyway else "anyway": " ".join([*doubts, "Tick, and say why, to pay it so."])}
        )
    for credit in set_off:
        credit.came_on = paid_on
        save_as(credit, person=person)
        save_as(SetOff(invoice=held, credit=credit), person=person)
    held.paid_on, held.paid, held.set_off = paid_on, paid, total
    held.difference_reason = reason.strip() if doubts else ""
    return save_as(held, person=person, reason=held.difference_reason)


def doubts_about(invoice: Invoice, settled: Decimal) -> list[str]:
    """Say what a careful person would ask before an invoice is settled by so much."""
    above, currency, orders = invoice.difference, invoice.currency_code, invoice.orders()
    found = []
    if len({order.currency_code for order in orders}) > 1:
        found.append("Its deliveries were ordered in different currencies.")
    if invoice.freight > (agreed := sum((order.freight for order in orders), Decimal(0))):
        found.append(f"Freight of {in_money(agreed, currency)} was agreed, not {in_money(invoice.freight, currency)}.")
    if not invoice.deliveries():
        found.append("No delivery is matched to it.")
    elif above > 0:
        found.append(f"It is {in_money(above, currency)} above what was delivered.")
    if settled > invoice.amount:
        found.append(f"That is {in_money(settled - invoice.amount, currency)} more than the invoice.")
    elif settled < invoice.amount:
        found.append(f"That is {in_money(invoice.amount - settled, currency)} less than the invoice.")
    return found


def _held_credits(invoice: Invoice, credits: Sequence[Credit]) -> list[Credit]:
    keys = {credit.pk for credit in credits}
    held = list(open_credits(invoice.supplier_id).select_for_update(of=("self",)).filter(pk__in=keys))
    if len(held) < len(keys):
        raise ValidationError({"credits": "A credit was settled or deleted meanwhile."})
    return held


@transaction.atomic
def take_payment_back(invoice: Invoice, *, reason: str, person: User) -> Invoice:
    """Say that an invoice was not paid after all; credits set off against it are owed again."""
    require(person, "payables.record")
    if not reason.strip():
        raise ValidationError({"reason": "Say why."})
    held = Invoice.objects.select_for_update().get(pk=invoice.pk)
    if not held.is_paid:
        raise ValidationError("It is not marked as paid.")
    for taken in SetOff.objects.filter(invoice=held).select_related("credit"):
        taken.credit.came_on = None
        remove_record(taken, person=person)
        save_as(taken.credit, person=person, reason=reason)
    held.paid_on, held.paid, held.set_off, held.difference_reason = None, None, Decimal(0), ""
    return save_as(held, person=person, reason=reason)


@transaction.atomic
def delete_invoice(invoice: Invoice, *, reason: str, person: User, now: datetime) -> Invoice:
    """Take back an invoice that was recorded by mistake; its deliveries are open to another one."""
    require(person, "payables.record")
    if invoice.is_paid:
        raise ValidationError("It is marked as paid: take the payment back first.")
    return delete_record(invoice, person=person, reason=reason, now=now)

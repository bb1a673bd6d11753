"""Writing suppliers' invoices: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.money import in_money
from shop.base.records import delete_record, remove_record, save_as
from shop.base.roles import require
from shop.orders import refusals
from shop.orders.models import Credit, OrderLine
from shop.payables.models import Invoice, InvoicedDelivery, InvoicedLine, SetOff
from shop.payables.queries import open_credits, uninvoiced
from shop.payables.unbilled import spare_returns


@dataclass(frozen=True)
class Asked:
    """Pieces of an order line as an invoice asks for them, at its price each."""

    line: OrderLine
    quantity: Decimal
    price: Decimal


@transaction.atomic
def record_invoice(invoice: Invoice, *, lines: Sequence[Asked], person: User, today: date) -> Invoice:
    """Keep an invoice, new or changed, with its lines. Raises Stale where it was changed."""
    require(person, "payables.record")
    _refuse_days(invoice, today)
    if invoice.is_paid:
        raise ValidationError(gettext("It is paid: take the payment back first."))
    if not invoice.recorded_by_id:
        invoice.recorded_by_id = person.pk
    invoice.full_clean(exclude=["recorded_by"])
    before = invoice.ordered_in() if invoice.pk else set()
    save_as(invoice, person=person)
    _keep_lines(invoice, {asked.line.pk: asked for asked in lines}, person)
    _match(invoice, person)
    # Of its lines only now are there all; and what it asked for before it was changed is billed no more.
    spare_returns({*before, *invoice.ordered_in()}, person=person)
    return invoice


def _keep_lines(invoice: Invoice, wanted: dict[int, Asked], person: User) -> None:
    kept = {one.line_id: one for one in InvoicedLine.objects.filter(invoice=invoice)}
    for key in kept.keys() - wanted:
        remove_record(kept[key], person=person)
    for key, asked in sorted(wanted.items()):
        row = kept.get(key) or InvoicedLine(invoice=invoice, line=asked.line)
        if row.pk is None or (row.quantity, row.price) != (asked.quantity, asked.price):
            row.quantity, row.price = asked.quantity, asked.price
            save_as(row, person=person)


def _match(invoice: Invoice, person: User) -> None:
    """Say which deliveries an invoice is for: of each of its lines the oldest that no other one is for."""
    wanted: set[int] = set()
    lines = {one.line_id: one.quantity for one in InvoicedLine.objects.filter(invoice=invoice)}
    for delivery in uninvoiced(invoice.supplier_id, besides=invoice.pk).filter(line__in=lines):
        if lines[delivery.line_id] > 0:
            wanted.add(delivery.pk)
            lines[delivery.line_id] -= delivery.quantity
    kept = {one.delivery_id: one for one in InvoicedDelivery.objects.filter(invoice=invoice)}
    for key in kept.keys() - wanted:
        remove_record(kept[key], person=person)
    for key in sorted(wanted - kept.keys()):
        save_as(InvoicedDelivery(invoice=invoice, delivery_id=key), person=person)


def _refuse_days(invoice: Invoice, today: date) -> None:
    errors = {"on": refusals.wrong_day(invoice.on, today, ahead=False), "due": refusals.wrong_day(invoice.due, today)}
    if invoice.due < invoice.on:
        errors["due"] = errors["due"] or gettext("It cannot be due before its date.")
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
    Invoice.objects.select_for_update().get(pk=invoice.pk)
    held = Invoice.objects.with_lines().get(pk=invoice.pk)
    if held.is_paid or held.is_deleted:
        raise ValidationError(gettext("It was paid or deleted meanwhile."))
    if words := refusals.wrong_day(paid_on, today, ahead=False):
        raise ValidationError({"paid_on": words})
    set_off = _held_credits(held, credits)
    total = sum((credit.amount for credit in set_off), Decimal(0))
    doubts = doubts_about(held, paid + total)
    if doubts and not (anyway and reason.strip()):
        raise ValidationError(
            {"reason" if anyway else "anyway": " ".join([*doubts, gettext("Tick, and say why, to pay it so.")])}
        )
    for credit in set_off:
        credit.came_on = paid_on
        save_as(credit, person=person)
        save_as(SetOff(invoice=held, credit=credit), person=person)
    held.paid_on, held.paid, held.set_off = paid_on, paid, total
    held.difference_reason = reason.strip() if doubts else ""
    _match(held, person)  # what came after it was recorded
    return save_as(held, person=person, reason=held.difference_reason)


def doubts_about(invoice: Invoice, settled: Decimal) -> list[str]:
    """Say what a careful person would ask before an invoice (of `with_lines`) is settled by so much."""
    currency, found = invoice.currency_code, []
    if len({order.currency_code for order in invoice.orders()}) > 1:
        found.append(gettext("Its lines were ordered in different currencies."))
    found.extend(invoice.held_against().doubts(currency))
    if settled > invoice.amount:
        found.append(
            gettext("That is {in_money} more than the invoice.").format(
                in_money=in_money(settled - invoice.amount, currency)
            )
        )
    elif settled < invoice.amount:
        found.append(
            gettext("That is {in_money} less than the invoice.").format(
                in_money=in_money(invoice.amount - settled, currency)
            )
        )
    return found


def _held_credits(invoice: Invoice, credits: Sequence[Credit]) -> list[Credit]:
    keys = {credit.pk for credit in credits}
    found = open_credits(invoice.supplier_id, invoice.currency_code)
    held = list(found.select_for_update(of=("self",)).filter(pk__in=keys))
    if len(held) < len(keys):
        raise ValidationError(
            {"credits": gettext("A credit was settled or deleted meanwhile, or is in another currency.")}
        )
    return held


@transaction.atomic
def take_payment_back(invoice: Invoice, *, reason: str, person: User) -> Invoice:
    """Say that an invoice was not paid after all; credits set off against it are owed again."""
    require(person, "payables.record")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why.")})
    held = Invoice.objects.select_for_update().get(pk=invoice.pk)
    if not held.is_paid:
        raise ValidationError(gettext("It is not marked as paid."))
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
        raise ValidationError(gettext("It is marked as paid: take the payment back first."))
    return delete_record(invoice, person=person, reason=reason, now=now)

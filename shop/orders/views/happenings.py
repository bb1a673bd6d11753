"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from shop.orders import changes
from shop.orders.forms import (
    CancellationForm,
    ChaseForm,
    DeliveryForm,
    MoneyBackForm,
    PromiseForm,
    ReturnForm,
    WithdrawForm,
)
from shop.orders.models import Chase, Order, OrderLine
from shop.people.access import SignedIn, allowed
from shop.people.roles import require
from shop.ui.pages import create_page, edit_page, own_page


def _order(pk: int) -> Order:
    return get_object_or_404(Order.objects.standing().select_related("supplier"), pk=pk)


def _line(pk: int) -> OrderLine:
    return get_object_or_404(OrderLine.objects.standing().with_state().with_story(), pk=pk)


def _beside(error: ValidationError, field_of: dict[str, str]) -> ValidationError:
    """The same refusal, each fault at the field that the form has for it."""
    if not hasattr(error, "error_dict"):
        return error
    return ValidationError({field_of.get(name, name): words for name, words in error.message_dict.items()})


@allowed("orders.promise")
def promise(request: SignedIn, pk: int) -> HttpResponse:
    """Record what the supplier promised."""
    order, today = _order(pk), timezone.localdate()
    lines = OrderLine.objects.to_come().filter(order=order).with_story()

    def save(form: PromiseForm) -> Order:
        said = {name: form.cleaned_data[name] for name in ("given_on", "earliest", "latest", "words", "said_by", "how")}
        try:
            changes.record_promise(lines=form.cleaned_data["lines"], **said, person=request.user, today=today)
        except ValidationError as refused:
            raise _beside(refused, form.field_of) from None
        return order

    ticked = request.GET.getlist("line") or [line.pk for line in lines]
    return create_page(
        request,
        PromiseForm,
        title=f"What {order.supplier} promised for order {order}",
        save=save,
        land=own_page,
        back=order.get_absolute_url(),
        lines=lines,
        initial={"given_on": today, "lines": ticked, "says": PromiseForm.DAY, "said_by": order.supplier.contact},
    )


@allowed("orders.receive")
def delivery(request: SignedIn, pk: int) -> HttpResponse:
    """Record what came."""
    order, today = _order(pk), timezone.localdate()
    lines = list(OrderLine.objects.to_come().filter(order=order).with_story())

    def save(form: DeliveryForm) -> Order:
        on, note = form.cleaned_data["on"], form.cleaned_data["note"]
        with transaction.atomic():
            for name, line, quantity in form.came():
                try:
                    changes.record_delivery(
                        line=line, on=on, quantity=quantity, note=note, person=request.user, today=today
                    )
                except ValidationError as refused:
                    raise _beside(refused, {"quantity": name}) from None
        return order

    return create_page(
        request,
        DeliveryForm,
        title=f"What came of order {order} from {order.supplier}",
        save=save,
        back=order.get_absolute_url(),
        lines=lines,
        initial={"on": today},
    )


@allowed("orders.receive")
def send_back(request: SignedIn, pk: int) -> HttpResponse:
    """Record that wrong or faulty pieces went back."""
    return _pieces(request, pk, ReturnForm, changes.send_back, "Send back")


@allowed("orders.order")
def cancel(request: SignedIn, pk: int) -> HttpResponse:
    """Cancel what has not come of a line."""
    return _pieces(request, pk, CancellationForm, changes.cancel_pieces, "Cancel")


def _pieces(request: SignedIn, pk: int, form_class: type, verb: Any, words: str) -> HttpResponse:
    line, today = _line(pk), timezone.localdate()

    def save(form: Any) -> OrderLine:
        verb(line=line, **form.cleaned_data, person=request.user, today=today)
        return line

    initial = {"on": today, "quantity": line.left if form_class is CancellationForm else None}
    title = f"{words}: {line}, order {line.order}"
    return create_page(request, form_class, title=title, save=save, back=line.get_absolute_url(), initial=initial)


@allowed("orders.order")
def money_back(request: SignedIn, pk: int, model: Any) -> HttpResponse:
    """Record that the money owed for pieces sent back or cancelled came."""
    event = get_object_or_404(model.objects.standing().select_related("line__order"), pk=pk)
    today = timezone.localdate()

    def save(form: MoneyBackForm) -> OrderLine:
        changes.record_money_back(event=event, on=form.cleaned_data["on"], person=request.user, today=today)
        return event.line

    title = f"Money back for {event.line}, order {event.line.order}"
    back = event.line.get_absolute_url()
    return create_page(request, MoneyBackForm, title=title, save=save, back=back, initial={"on": today})


@allowed("orders.chase")
def chase(request: SignedIn, pk: int) -> HttpResponse:
    """Record that the supplier was asked."""
    order, today = _order(pk), timezone.localdate()

    def save(form: ChaseForm) -> Order:
        made = form.save(commit=False)
        made.order = order
        changes.chase(chase=made, person=request.user, today=today)
        return order

    return create_page(
        request,
        ChaseForm,
        title=f"Chase {order.supplier} about order {order}",
        save=save,
        back=order.get_absolute_url(),
        initial={"on": today, "answered_on": today},
    )


@allowed("orders.chase")
def chase_change(request: SignedIn, pk: int) -> HttpResponse:
    """Write down what was answered, or another day to ask again."""
    record = get_object_or_404(Chase.objects.standing().select_related("order__supplier"), pk=pk)

    def save(form: ChaseForm) -> Chase:
        return changes.chase(chase=form.save(commit=False), person=request.user, today=timezone.localdate())

    title = f"What {record.order.supplier} answered about order {record.order}"
    return edit_page(request, record, ChaseForm, title=title, save=save)


def withdraw(request: SignedIn, pk: int, model: Any) -> HttpResponse:
    """Take back what was recorded by mistake."""
    require(request.user, changes.WITHDRAWN_BY[model])
    record = get_object_or_404(model, pk=pk)
    page = record.line if hasattr(record, "line") else getattr(record, "order", record)

    def save(form: WithdrawForm) -> Any:
        changes.withdraw(record=record, reason=form.cleaned_data["reason"], person=request.user)
        return page

    title = f"Withdraw {model._meta.verbose_name}: {record}"
    return create_page(
        request, WithdrawForm, title=title, save=save, back=page.get_absolute_url(), template="orders/withdraw.html"
    )

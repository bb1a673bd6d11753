"""What suppliers write back: read beside the lines that it is about, recorded by a person."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits, reads
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.orders.line_history import show_line
from shop.orders.models import OrderLine
from shop.replies import changes
from shop.replies.forms import ReplyFileForm, ThreadForm
from shop.replies.models import Reply

QUOTED = 380


@reads("orders.chase")
def reply(request: SignedIn, pk: int) -> HttpResponse:
    """One message beside the lines of its order that are to come."""
    rows = Reply.objects.select_related("order__supplier", "mail", "brought_by", "done_by", "deleted_by")
    found, today = get_object_or_404(rows, pk=pk), timezone.localdate()
    order = found.order
    lines = OrderLine.objects.filter(order=order).with_story() if order else ()
    quoted = urlencode({"how": "mail", "answer": " ".join(found.body.split())[:QUOTED]})
    context = {
        "title": str(found),
        "reply": found,
        "lines": [show_line(line, today) for line in lines],
        "record": f"{reverse('orders:chase-new', args=[order.pk])}?{quoted}" if order else "",
    }
    return render(request, "replies/reply.html", context)


@edits("orders.chase")
def reply_new(request: SignedIn) -> HttpResponse:
    """Bring in a message that was saved as .eml."""

    def save(form: ReplyFileForm) -> Reply:
        return changes.take_in(form.cleaned_data["file"].read(), person=request.user, now=timezone.now())

    return create_page(request, ReplyFileForm, title=gettext("Add message"), save=save, back=reverse("replies:replies"))


@edits("orders.chase")
def reply_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Say which order a message is about."""
    record = find_current(Reply.objects.select_related("order", "deleted_by"), pk)

    def save(form: ThreadForm) -> Reply:
        return changes.thread(form.instance, order=form.cleaned_data["number"], person=request.user)

    number = record.order.number if record.order else ""
    title = gettext("Order of “{record}”").format(record=record)
    return edit_page(request, record, ThreadForm, title=title, save=save, initial={"number": number})


@acts("orders.chase")
def reply_done(request: SignedIn, pk: int) -> HttpResponse:
    """Say that it was dealt with."""
    changes.mark_done(find_current(Reply.objects, pk), person=request.user, now=timezone.now())
    return redirect("replies:reply", pk)


@edits("orders.chase")
def reply_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a message that does not belong here."""
    record = get_object_or_404(Reply, pk=pk)

    def delete(reason: str) -> Reply:
        return changes.delete_reply(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=record)

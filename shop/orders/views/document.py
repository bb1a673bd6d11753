"""The papers kept with an order: attached, and given back as they were."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.http import content_disposition_header
from django.views.decorators.cache import cache_control

from shop.base.access import SignedIn, edits, reads
from shop.base.pages import create_page
from shop.base.roles import require
from shop.base.seen_by import PART_PRICES
from shop.orders import changes
from shop.orders.forms.files import DocumentForm
from shop.orders.models import Document, Order
from shop.orders.views.common import delete_recorded, find_order


@edits("orders.attach")
def document_new(request: SignedIn, pk: int) -> HttpResponse:
    """Keep a file with an order."""
    order = find_order(pk)

    def save(form: DocumentForm) -> Order:
        file, given = form.cleaned_data["file"], {name: form.cleaned_data[name] for name in ("paper", "note")}
        changes.attach_document(order=order, name=file.name, content=file.read(), person=request.user, **given)
        return order

    title = f"Add document with order {order}"
    return create_page(request, DocumentForm, title=title, save=save, back=order.get_absolute_url())


@reads()
@cache_control(private=True, no_store=True)
def document(request: SignedIn, pk: int) -> HttpResponse:
    """The file as it was attached, to be saved: never shown inside the site, whatever it holds."""
    found = get_object_or_404(Document, pk=pk)
    if found.names_prices:
        require(request.user, PART_PRICES)
    try:
        with found.file.open("rb") as file:
            content = file.read()
    except FileNotFoundError:
        raise Http404(f"{found} is on record, but its file is not in the data folder.") from None
    response = HttpResponse(content, content_type=found.content_type)
    response["Content-Disposition"] = content_disposition_header(True, found.name)
    return response


@edits("orders.attach")
def document_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a document that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Document, pk=pk))

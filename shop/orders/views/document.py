"""The papers kept with an order: attached, and given back as they were."""

from __future__ import annotations

from functools import partial

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext
from django.views.decorators.cache import cache_control

from shop.base.access import SignedIn, edits, reads
from shop.base.file_pages import give_back, keep_page
from shop.orders import changes
from shop.orders.models import Document
from shop.orders.views.common import delete_recorded, find_order


@edits("orders.attach")
def document_new(request: SignedIn, pk: int) -> HttpResponse:
    """Keep a file with an order."""
    order = find_order(pk)
    keep = partial(changes.attach_document, order)
    title = gettext("Add document with order {order}").format(order=order)
    return keep_page(request, title=title, papers=Document.kept_papers, owner=order, keep=keep)


@reads()
@cache_control(private=True, no_store=True)
def document(request: SignedIn, pk: int) -> HttpResponse:
    """The file as it was attached."""
    return give_back(request, get_object_or_404(Document, pk=pk))


@edits("orders.attach")
def document_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a document that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Document, pk=pk))

"""Bringing a deleted record back by one press."""

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts
from shop.base.pages import restore_page
from shop.base.undo import undo_deletion, undos


@acts()
def undo(request: SignedIn, label: str, pk: int) -> HttpResponse:
    """Undo the deletion of a record of any kind that its room declares."""
    kind = undos().get(label)
    if kind is None:
        raise Http404(gettext("Nothing of this kind is brought back here."))
    record = get_object_or_404(kind.model, pk=pk)
    return restore_page(request, record, restore=lambda: undo_deletion(record=record, person=request.user))

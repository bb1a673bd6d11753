"""The list of what suppliers wrote back."""

from __future__ import annotations

from django.http import HttpResponse
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.replies.filters import ReplyFilters
from shop.replies.models import Reply
from shop.replies.tables import Replies
from specs.models import DeletableQuerySet
from specs.row_queries import put_together_once

_NOT_LISTED = ("message_id", "sent_at", "body", "bounce", "mail", "brought_by", "done_by")


@put_together_once
def _listed() -> DeletableQuerySet:
    """Every message that was taken in with what its line in the list says."""
    return Reply.objects.with_only("order", "number").defer(*_NOT_LISTED)


@reads("orders.chase")
def replies(request: SignedIn) -> HttpResponse:
    """Every message that was taken in."""
    rows = rows_asked(request, _listed())
    return list_page(request, title=gettext("Replies"), table=Replies, rows=rows, filters=ReplyFilters)

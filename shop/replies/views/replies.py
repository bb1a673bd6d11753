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


@reads("orders.chase")
def replies(request: SignedIn) -> HttpResponse:
    """Every message that was taken in."""
    rows = rows_asked(request, Reply.objects.all()).select_related("order")
    return list_page(request, title=gettext("Replies"), table=Replies, rows=rows, filters=ReplyFilters)

"""A person's own page: the morning's mail and the calendar's secret address; and the calendar itself."""

from __future__ import annotations

from django.http import HttpResponse

from shop.base.access import SignedIn, reads
from shop.planning.views.common import page_of_own


@reads()
def mine(request: SignedIn) -> HttpResponse:
    """What the reader has chosen."""
    return page_of_own(request)

"""A person's own page: the morning's mail and the calendar's secret address; and the calendar itself."""

from __future__ import annotations

from django.http import HttpResponse

from shop.base.access import SignedIn, reads
from shop.planning.views.common import notices_page


@reads()
def notices(request: SignedIn) -> HttpResponse:
    """What the reader has chosen."""
    return notices_page(request)

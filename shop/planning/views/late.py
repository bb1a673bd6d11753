"""What is late, and whose job waits for it."""

from __future__ import annotations

from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.lists import list_page
from shop.jobs.standing import every_job
from shop.planning.filters import LateFilters
from shop.planning.inputs import read_shop
from shop.planning.late import late_rows, late_today
from shop.planning.outlook import outlook
from shop.planning.tables import LateLines


@reads()
def late(request: SignedIn) -> HttpResponse:
    """Every overdue line, first what costs a job most."""
    today = timezone.localdate()
    every = every_job(today)
    known = outlook(read_shop(today, every=every))
    lines, held = late_today(today, every, read_shop, known)
    return list_page(
        request,
        title=gettext("Late parts"),
        table=LateLines,
        rows=late_rows(today, lines, held),
        read={line.pk: line for line in lines},
        filters=LateFilters,
        template="planning/late.html",
        today=today,
        held=held,
        context={"today": today, "as_of": known.words if known else ""},
    )

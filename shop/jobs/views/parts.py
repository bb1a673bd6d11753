"""The parts that unfinished steps need, over all jobs."""

from django.http import HttpResponse
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.lists import list_page
from shop.jobs.bulk import all_parts
from shop.jobs.work_tables import NeededPartFilters, NeededParts


@reads()
def parts(request: SignedIn) -> HttpResponse:
    """Every part that an unfinished step needs; ticked ones are marked as received or deleted together."""
    return list_page(
        request, title=gettext("Parts needed"), table=NeededParts, rows=all_parts(), filters=NeededPartFilters
    )

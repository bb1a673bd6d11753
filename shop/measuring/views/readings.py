"""Every reading that was taken."""

from django.http import HttpResponse
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.lists import list_page
from shop.base.roles import NAMES
from shop.measuring.bulk import all_readings
from shop.measuring.reading_table import ReadingFilters, Readings


@reads()
def readings(request: SignedIn) -> HttpResponse:
    """Every reading, the newest first; ticked ones are deleted together."""
    rows = all_readings().with_only("person", *NAMES).with_only("dimension", "name", "kind", "component")
    rows = rows.with_only("dimension__component", "maker", "name")
    return list_page(request, title=gettext("Readings"), table=Readings, rows=rows, filters=ReadingFilters)

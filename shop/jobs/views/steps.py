"""The steps that are left to do, over all jobs."""

from django.http import HttpResponse
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.lists import list_page
from shop.jobs.bulk import all_steps
from shop.jobs.work_tables import StepFilters, StepTable


@reads()
def steps(request: SignedIn) -> HttpResponse:
    """Every unfinished step, by vehicle; ticked ones are assigned or deleted together."""
    return list_page(request, title=gettext("Steps to do"), table=StepTable, rows=all_steps(), filters=StepFilters)

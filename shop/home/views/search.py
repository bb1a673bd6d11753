"""Finding records of every kind."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.access import reads
from shop.base.filters import asks_for_deleted
from shop.base.menu import all_pages
from shop.base.search_results import find
from shop.home.help_pages import holding

_LONGEST_SEARCH = 100
_SHOWN = 30
_HELP_SHOWN = 5


@reads()
def search(request: HttpRequest) -> HttpResponse:
    """Records of every kind that hold what was typed; before anything is typed, every page of the menu."""
    text = request.GET.get("q", "").strip()[:_LONGEST_SEARCH]
    deleted = asks_for_deleted(request)
    may = request.may  # type: ignore[attr-defined]
    results, more = find(text, most=_SHOWN, deleted=deleted, may=may)
    context = {
        "title": gettext("Search"),
        "text": text,
        "deleted": deleted,
        "places": () if text else all_pages(may),
        "found": [result.row() for result in results],
        "more": more,
        "helped": holding(text)[:_HELP_SHOWN],
    }
    return render(request, "home/search.html", context)

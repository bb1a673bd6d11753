"""Finding records of every kind."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.base import search as searching
from shop.base.access import reads
from shop.base.filters import asks_for_deleted
from shop.base.menu import all_pages

_LONGEST_SEARCH = 100


@reads()
def search(request: HttpRequest) -> HttpResponse:
    """Records of every kind that hold what was typed; before anything is typed, every page of the menu."""
    text = request.GET.get("q", "").strip()[:_LONGEST_SEARCH]
    deleted = asks_for_deleted(request)
    context = {
        "title": "Search",
        "text": text,
        "deleted": deleted,
        "places": () if text else all_pages(request.may),  # type: ignore[attr-defined]
        "found": searching.search(text, deleted=deleted) if text else (),
    }
    return render(request, "home/search.html", context)

"""Finding records of every kind."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.base import search as searching
from shop.base.access import reads

_LONGEST_SEARCH = 100


@reads()
def search(request: HttpRequest) -> HttpResponse:
    """Records of every kind that hold what was typed."""
    text = request.GET.get("q", "").strip()[:_LONGEST_SEARCH]
    context = {"title": "Search", "text": text, "found": searching.search(text) if text else ()}
    return render(request, "home/search.html", context)

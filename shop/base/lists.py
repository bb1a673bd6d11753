"""The list page: filters, sort and page live in the address, and the same address gives the same rows as CSV.

::

    def late(request):
        rows = Order.objects.overdue(timezone.localdate())
        return list_page(request, title="Late orders", table=LateOrders, rows=rows, filters=LateFilters)
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, cast
from urllib.parse import quote, unquote

from django import forms
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import get_script_prefix, get_urlconf, resolve, reverse
from django.utils.html import format_html
from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base.bulk import BulkAct, BulkList, bulk_lists
from shop.base.filters import FilterSet, asks_for_deleted, fields_html
from shop.base.paging import PLACE_WORDS, ListPaginator
from shop.base.records import deletion_text
from shop.base.roles import may, person_name
from shop.base.spreadsheets import csv_of, xlsx_of
from shop.base.tables import Fact, FactsColumn, Table
from shop.base.undo import undo_address, undos

PER_PAGE, LONG_PAGE = 50, 200
_NO_FILTERS = frozenset(("sort", "rows", "ticked", *PLACE_WORDS))
FILES = {"csv": csv_of, "xlsx": xlsx_of}
LONGEST_ADDRESS = 1500
LIST_COOKIE = "list-"
"""Begins the names of the cookies that keep the query of each list."""


def list_page(
    request: HttpRequest,
    *,
    title: str,
    table: type[Table],
    rows: QuerySet[Any],
    filters: type[FilterSet] | None = None,
    template: str = "base/list.html",
    context: dict[str, Any] | None = None,
    read: Mapping[Any, Any] | None = None,
    **table_options: Any,
) -> HttpResponse:
    """Show the rows, filtered, sorted and paged as the address says; ``?as=csv`` or ``?as=xlsx`` makes them a file.

    read: rows by their keys that the page has read already, with all that its table says of them.
    """
    asked = any(value for name, value in request.GET.items() if name not in _NO_FILTERS)
    chosen = filters(request.GET, queryset=rows, request=request) if filters and asked else None
    if asks_for_deleted(request) and rows.model._meta.label_lower in undos():
        table_options["extra_columns"] = [("deleted", DeletedColumn())]
    shown = table(_chosen_rows(chosen, rows), **table_options)
    shown.leave_out_for(request.user)
    shown.request = request  # given to table(), the library would let the address set rows a page, even to none
    if sort := [name for name in request.GET.getlist("sort") if name.lstrip("-") in shown.columns.names()]:
        shown.order_by = sort
    _settle(shown.data)
    if write := FILES.get(request.GET.get("as", "")):
        return cast(HttpResponse, write(shown, name=request.path.strip("/").replace("/", "-") or "list"))
    per_page = LONG_PAGE if request.GET.get("rows") == str(LONG_PAGE) else PER_PAGE
    # The library's own would read the first page before that which is asked for.
    shown.paginator = ListPaginator(
        shown.rows,
        per_page,
        everything=rows,
        typed=_is_typed(chosen),
        narrowed=chosen is not None,
        words=chosen.common_words if chosen else None,
        read=read or {},
    )
    shown.page = shown.paginator.page_at(request.GET)
    known = {
        "title": title,
        "table": shown,
        "filter_form": chosen.form if chosen else filters and fields_html(filters, filters.hidden_from(request.user)),
        "asked": asked,
        "new": _new_link(request, table),
        "bulk": bulk_of(table, request),
    }
    response = render(request, template, {**(context or {}), **known})
    _remember(request, response)
    return response


@dataclass(frozen=True)
class ShownBulk:
    """What a list offers for its ticked rows: the acts of its reader, and whether all boxes are ticked already."""

    of: BulkList
    acts: tuple[BulkAct, ...]
    all_ticked: bool


def bulk_of(table: type[Table], request: HttpRequest) -> ShownBulk | None:
    """Return what the reader may do to many rows of a table at once; None for a table without boxes."""
    if not table.bulk or asks_for_deleted(request):
        return None
    of = bulk_lists()[table.bulk]
    acts = tuple(act for act in of.acts if may(request.user, act.action))
    return ShownBulk(of, acts, request.GET.get("ticked") == "all")


def _new_link(request: HttpRequest, table: type[Table]) -> tuple[str, str] | None:
    """The address and words of the table's own form for one more row, where the reader may use it."""
    if table.new is None:
        return None
    url_name, words = table.new
    address, action = _form_at(url_name, get_script_prefix(), get_urlconf())
    return (address, words) if not action or may(request.user, action) else None


@lru_cache(maxsize=200)
def _form_at(url_name: str, prefix: str, urlconf: str | None) -> tuple[str, str]:
    """The address of a form, and what one must be allowed to do to use it, under these urls of the site."""
    address = reverse(url_name)
    return address, getattr(resolve(address).func, "action", "")


class DeletedColumn(FactsColumn):
    """Who deleted a row, when and why, with the button that brings it back."""

    def __init__(self) -> None:
        facts = (
            Fact(gettext("Deleted on"), lambda table, record: localtime(record.deleted_at).date()),
            Fact(
                gettext("Deleted by"), lambda table, record: person_name(record.deleted_by) if record.deleted_by else ""
            ),
            Fact(gettext("Why deleted"), lambda table, record: record.deleted_reason),
        )
        super().__init__(facts=facts, verbose_name=gettext("Deleted"), empty_values=(), orderable=False)

    def render(self, record: Any, table: Any) -> str:
        address = undo_address(record, table.request.user)
        button = {"address": address, "csrf_token": get_token(table.request) if address else ""}
        return format_html("{} {}", deletion_text(record), render_to_string("base/_undo.html", button))


def _chosen_rows(chosen: FilterSet | None, rows: QuerySet[Any]) -> QuerySet[Any]:
    if chosen is None:
        return rows
    # A filter that cannot be read is never guessed at: no rows, and its error beside it.
    return chosen.qs if chosen.is_valid() else rows.none()


def _is_typed(chosen: FilterSet | None) -> bool:
    """Whether somebody typed what a list is narrowed down by, and not only chose of what there is."""
    if chosen is None or not chosen.is_valid():
        return chosen is not None
    return any(
        bool(found) and not isinstance(chosen.form.fields[name], forms.ChoiceField)
        for name, found in chosen.form.cleaned_data.items()
    )


def _settle(found: Any) -> None:
    """Break ties by pk, or paging repeats or skips rows; rows that count others have lost their model's order."""
    rows = found.data
    if isinstance(rows, QuerySet):
        order = rows.query.order_by or (rows.model._meta.ordering if rows.query.default_ordering else ())
        found.data = rows.order_by(*order, "pk")


def _cookie(url_name: str) -> str:
    return LIST_COOKIE + url_name.replace(":", "-")


def _remember(request: HttpRequest, response: HttpResponse) -> None:
    """Keep the list's query in the browser, so that a page reached from it leads back to the same list."""
    match = request.resolver_match
    query = quote(request.META.get("QUERY_STRING", ""))
    if match is None or match.kwargs or len(query) > LONGEST_ADDRESS:
        return
    response.set_cookie(
        _cookie(match.view_name), query, httponly=True, samesite="Lax", secure=request.is_secure(), path="/"
    )


def last_address(request: HttpRequest, url_name: str) -> str:
    """The address of a list with the query under which the reader last saw it."""
    request.lists_read = True  # type: ignore[attr-defined]
    query = unquote(request.COOKIES.get(_cookie(url_name), ""))
    return reverse(url_name) + (f"?{query}" if query else "")

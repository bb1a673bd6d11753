"""Template words available on every page without a load."""

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import lru_cache
from typing import Any

import segno
from django import template
from django.conf import settings
from django.forms import PasswordInput
from django.template.defaultfilters import stringfilter
from django.template.defaulttags import CsrfTokenNode
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape, format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shop.base import lists, once, undo, written
from shop.base.access import may_do_what_is_at, system_of
from shop.base.extends_tag import extends
from shop.base.forms import errors_of
from shop.base.kept_markup import kept
from shop.base.money import in_money
from shop.base.page_links import pages_html, query_elsewhere, query_of
from shop.base.plain_html import rows_html
from shop.base.records import deletion_text
from shop.base.roles import may as person_may
from shop.base.rows import Row
from shop.base.seen_by import PART_PRICES
from shop.base.table_rows import head_html
from shop.base.table_rows import rows_html as table_rows_html
from shop.base.tables import Table
from shop.base.url_tag import url
from specs.engine import units
from specs.phrase import listed, phrase
from specs.written import thread_text

register = template.Library()
register.tag(kept)
register.tag(url)
register.tag(extends)

LONGEST_CODE = 1000
# A number with hyphens, such as an order's: a hyphen would end a line of a heading.
NUMBER = re.compile(r"(?<![\w.-])(?=[a-zA-Z]*[\d-]*\d)\w{1,8}(?:-\w{1,8}){1,3}(?![\w.-]*\w)")
FORM_NAMES = ("form", "formset", "filter_form")


def _or_nothing(write: Callable[[Any], str]) -> Callable[[Any], str]:
    return lambda value: write(value) if value else ""


for _name in ("day", "month_day", "clock", "moment", "comma_moment", "day_and_clock"):
    register.filter(_name, _or_nothing(getattr(written, _name)), expects_localtime=True)
register.filter("decimals", written.decimals)
register.filter("figures", written.figures)
register.filter("thread", thread_text)
register.filter("word", phrase)
register.filter("unbroken", stringfilter(written.unbroken), is_safe=True)
register.filter("listed", lambda parts: str(listed(parts)))


@register.filter
def heading(text: Any) -> SafeString:
    """A heading in which no number breaks at its hyphen, nor what rows keep unbroken: "order 2026-028"."""
    pieces, end, words = [], 0, written.unbroken(str(text))
    for found in NUMBER.finditer(words):
        pieces += [escape(words[end : found.start()]), format_html('<span class="together">{}</span>', found[0])]
        end = found.end()
    return mark_safe("".join([*pieces, escape(words[end:])]))


@register.inclusion_tag("base/errors.html")
def error_summary(*forms: Any) -> dict[str, Any]:
    """The list of what is wrong, each line leading to its field: ``{% error_summary form formset %}``."""
    secret = any(
        type(field.widget) is PasswordInput for form in forms for field in getattr(form, "fields", {}).values()
    )
    return {"errors": errors_of(*forms), "kept": not secret}


@register.simple_tag(takes_context=True)
def error_prefix(context: template.Context) -> str:
    """ "Error: " at the head of the title of a page whose form was refused, so that a screen reader says it first."""
    wrong = context.get("conflict") or errors_of(*(context.get(name) for name in FORM_NAMES))
    return f"{gettext('Error')}: " if wrong else ""


@register.simple_tag(takes_context=True)
def once_token(context: template.Context) -> SafeString:
    """The hidden mark that lets a create form write once however often it is pressed."""
    return format_html('<input type="hidden" name="once" value="{}">', once.token_for(context["request"]))


@register.inclusion_tag("base/_undo.html", takes_context=True)
def undo_button(context: template.Context, record: Any) -> dict[str, Any]:
    """The button that brings a deleted record back, for whoever may: ``{% undo_button job %}``."""
    return {"address": undo.undo_address(record, context["request"].user), "csrf_token": context.get("csrf_token")}


@register.inclusion_tag("base/_deleted_of.html", takes_context=True)
def deleted_of(context: template.Context, owner: Any) -> dict[str, Any]:
    """What was deleted of a record and has no list of its own, each with its undo: ``{% deleted_of job %}``."""
    shown = [(one, gettext(str(one._meta.verbose_name)), deletion_text(one)) for one in undo.deleted_of(owner)]
    return {"deleted": shown, "request": context["request"], "csrf_token": context.get("csrf_token")}


@register.inclusion_tag("base/_documents.html", takes_context=True)
def documents(context: template.Context, of: Iterable[Any], owner: Any, add: str, action: str) -> dict[str, Any]:
    """The documents kept with a record, and the way to add one: ``{% documents kept owner=order add=… action=… %}``."""
    reader = context["request"].user
    shown = [(kept, not kept.seen_by or person_may(reader, kept.seen_by)) for kept in of]
    can = person_may(reader, action)
    return {
        "documents": shown,
        "count": sum(not kept.is_deleted for kept, _ in shown),
        "can": can,
        "add": add if can and not getattr(owner, "is_deleted", False) else "",
        "request": context["request"],
        "csrf_token": context.get("csrf_token"),
    }


@register.simple_tag(takes_context=True)
def rows(context: template.Context, of: Iterable[Row], keep_acts: bool = False) -> SafeString:
    """Things as rows, each with its mark, name, figure and act: ``{% rows parts %}``.

    A phone shows the first act only, unless the rows `keep_acts`.
    """
    return rows_html(of, keep_acts, lambda: CsrfTokenNode().render(context))


@register.simple_tag(takes_context=True)
def quantity(context: template.Context, value: float | None, kind: str, band: float | None = None) -> str:
    """``{% quantity dimension.value "length" %}``: an SI value in the reader's units; a dash where there is none."""
    if value is None:
        return "–"
    return units.show(value, units.KINDS[kind], system_of(context.get("request")), band=band)


@register.simple_tag
def today_written() -> str:
    """The day on which a page is printed."""
    return written.day(timezone.localdate())


@register.simple_tag(takes_context=True)
def may(context: template.Context, action: str) -> bool:
    """``{% may "orders.chase" as can_chase %}``: whether the reader may do the action."""
    return person_may(context["request"].user, action)


@register.simple_tag(takes_context=True)
def may_open(context: template.Context, url_name: str) -> bool:
    """``{% may_open "jobs:job-new" as can %}``: whether the reader may do what the page of an address without parts
    is for; no for no address."""
    return bool(url_name) and may_do_what_is_at(reverse(url_name), context["request"].user)


@register.simple_tag(takes_context=True)
def money(context: template.Context, amount: Decimal, seen_by: str = PART_PRICES, currency: str = "") -> str:
    """``{% money line.price %}``: an amount in the shop's currency, or a dash for a reader who may not see it.

    ``currency=order.currency_code`` names another one.
    """
    return in_money(amount, currency or settings.SHOP_CURRENCY) if person_may(context["request"].user, seen_by) else "–"


@register.simple_tag(takes_context=True)
def page_code(context: template.Context) -> SafeString:
    """A QR code of the page's own address, for paper: ISO/IEC 18004, error correction M.

    None of an address that is too long for one: a part of it would open another page, with other figures.
    """
    address = context["request"].build_absolute_uri()
    return mark_safe(_code(address) if len(address) <= LONGEST_CODE else "")


@lru_cache(maxsize=256)
def _code(address: str) -> str:
    # A camera reads any of the eight masks; weighing them all against each other takes longer than the rest of a page.
    code = segno.make(address, error="m", micro=False, mask=2)
    return code.svg_inline(omitsize=True, border=2, svgclass="code", lineclass="")


@register.simple_tag(takes_context=True)
def table_head(context: template.Context, table: Table) -> SafeString:
    """``{% table_head table %}``: the heads of a list's columns, each with the address that sorts by it."""
    return head_html(table, query_elsewhere(context["request"].GET, {"sort": []}))


@register.simple_tag
def table_rows(table: Table, bulk: Any = None) -> SafeString:
    """``{% table_rows table bulk %}``: the rows of a list's page."""
    return table_rows_html(table, bulk)


@register.simple_tag(takes_context=True)
def list_address(context: template.Context, url_name: str) -> str:
    """The address of a list as the reader last saw it: same filters, sort and page."""
    return lists.last_address(context["request"], url_name)


@register.simple_tag(takes_context=True)
def pages_of(context: template.Context, table: Table) -> SafeString:
    """``{% pages_of table %}``: which rows of a list these are, and the way to the others and to its file."""
    return pages_html(table.page, context["request"].GET)


@register.simple_tag(takes_context=True)
def with_query(context: template.Context, **changes: Any) -> str:
    """The page's own query with some words changed; an empty word goes."""
    kept = dict(context["request"].GET.lists())
    return query_of({**kept, **{name: [value] if value else [] for name, value in changes.items()}})

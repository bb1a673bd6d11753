"""What stands below the rows of a list: which of them these are, and the way to the others and to the file.

Put together here and not in a template, where the dozen conditions of it took as long as the rows of a short list.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from urllib.parse import urlencode

from django.http import QueryDict
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext, ngettext

from shop.base.paging import PLACE_WORDS, ListPage
from shop.base.plain_html import escaped


def query_elsewhere(asked: QueryDict, changes: Mapping[str, list[str]]) -> str:
    """The query of a page with some words changed and without its place; a word changed to nothing goes."""
    kept = {name: texts for name, texts in asked.lists() if name not in PLACE_WORDS}
    return query_of({**kept, **changes})


def query_of(words: Mapping[str, list[str]]) -> str:
    """Words and their texts as the query of an address."""
    return "?" + urlencode([(name, text) for name, texts in words.items() for text in texts])


def pages_html(page: ListPage, asked: QueryDict) -> SafeString:
    """The foot of a list as HTML."""
    links = "".join(f"\n<li>{_link(asked, *link)}</li>" for link in _links(page, asked))
    label = escaped(gettext("Pages of the list"))
    return mark_safe(
        f'<nav class="pages" aria-label="{label}">\n<p>{escaped(_which(page))}</p>\n<ul>{links}</ul>\n</nav>'
    )


def _which(page: ListPage) -> str:
    """Which rows these are, of how many."""
    rows = page.paginator
    of_all = ngettext("{words} row", "{words} rows", rows.count).format(words=rows.count_words)
    if page.first == 1 and not page.has_next():
        return of_all
    shown = gettext("{first} to {last} of").format(first=page.first, last=page.last)
    if not page.first:
        shown = gettext("{shown} of").format(shown=len(page.object_list))
    early = gettext(". Those after them are found by the filter, by sorting the other way round, or in the file")
    return f"{shown} {of_all}{early if page.ends_early else ''}"


def _links(page: ListPage, asked: QueryDict) -> Iterable[tuple[str, Mapping[str, list[str]], str]]:
    """The words, changes to the query and meaning of each link."""
    if page.leads_to_the_first:
        yield gettext("First page"), {}, ""
    if page.earlier is not None:
        yield gettext("Earlier page"), page.earlier, "prev"
    if page.later is not None:
        yield gettext("Next page"), page.later, "next"
    if page.leads_to_the_last:
        yield gettext("Last page"), {"page": ["last"]}, ""
    if page.paginator.count > 50:
        fewer = bool(asked.get("rows"))
        yield (gettext("50 a page"), {"rows": []}, "") if fewer else (gettext("200 a page"), {"rows": ["200"]}, "")
    yield gettext("These rows as CSV"), {"as": ["csv"]}, ""
    yield gettext("as XLSX"), {"as": ["xlsx"]}, ""


def _link(asked: QueryDict, words: str, changes: Mapping[str, list[str]], meaning: str) -> str:
    rel = f'rel="{meaning}" ' if meaning else ""
    return f'<a {rel}href="{escaped(query_elsewhere(asked, changes))}">{escaped(words)}</a>'

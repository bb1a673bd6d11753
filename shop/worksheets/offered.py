"""What a worksheet's form offers to choose from: names of dimensions, and hole patterns in words.

Kept while nobody measures anything, and bounded: a shop measures faces for years, and each list of a form has a choice
of them. What is not offered is taken by its name or its number.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import QuerySet
from django.utils.safestring import SafeString, mark_safe
from django.utils.text import Truncator
from django.utils.translation import gettext

from shop.base.plain_html import text_html
from shop.base.unchanged import while_unchanged
from shop.base.written import day
from specs.models import Dimension, HolePattern

MOST_NAMES = 400
MOST_PATTERNS = 200

Patterns = dict[int, str]
"""Of each hole pattern what is said of it, by its number, as it stands in a page."""


def list_of(kind: str) -> str:
    """The id of the list of names of a kind of quantity."""
    return f"dimensions-{kind.replace(' ', '-')}"


def names_html(kinds: Iterable[str], own: int | None) -> SafeString:
    """A list of names for each kind of quantity, to be offered while typing."""
    return mark_safe("".join([_list_html(kind, names_offered(kind, own)) for kind in sorted(kinds)]))


def _list_html(kind: str, names: Iterable[str]) -> str:
    options = "".join([f'<option value="{name}">\n</option>' for name in names])
    return f'<datalist id="{list_of(kind)}">{options}</datalist>'


def names_offered(kind: str, own: int | None) -> list[str]:
    """Names of dimensions of a kind as they stand in a page, those of the component `own` first."""
    first = _names_of(kind, own) if own else ()
    rest = [name for component, name in _names(kind) if component != own]
    return [*first, *rest][:MOST_NAMES]


@while_unchanged
def _names_of(kind: str, component: int) -> tuple[str, ...]:
    of_it = _named(Dimension.objects.filter(kind=kind, component=component))
    return tuple(map(text_html, sorted(map(str, of_it))))


@while_unchanged
def _names(kind: str) -> tuple[tuple[int, str], ...]:
    """The first of all; however many of these are the worksheet's own, with the others that are it is enough."""
    found = ((str(one), one.component_id) for one in _named(Dimension.objects.filter(kind=kind)))
    return tuple((component, text_html(name)) for name, component in sorted(found)[:MOST_NAMES])


def _named(dimensions: QuerySet[Dimension]) -> QuerySet[Dimension]:
    return dimensions.select_related("component").only("component_id", "name", "component__maker", "component__name")


def patterns_offered(own: int | None) -> tuple[Patterns, bool]:
    """Hole patterns that stand, of older ones those of the component `own` first; and whether there are others."""
    latest, more = _latest()
    older = {pk: said for pk, said in _of_component(own).items() if pk not in latest} if own and more else {}
    return older | latest, more


@while_unchanged
def _latest() -> tuple[Patterns, bool]:
    """Those recorded last, as lists of them are ordered, and whether there are others."""
    stand = HolePattern.objects.active()
    keys = list(stand.order_by("-pk").values_list("pk", flat=True)[: MOST_PATTERNS + 1])
    return _said(stand.filter(pk__in=keys[:MOST_PATTERNS])), len(keys) > MOST_PATTERNS


@while_unchanged
def _of_component(component: int) -> Patterns:
    return _said(HolePattern.objects.active().filter(component=component)[:MOST_PATTERNS])


@while_unchanged
def pattern_said(key: int) -> str:
    """What is said of one; nothing where it does not stand."""
    return _said(HolePattern.objects.active().filter(pk=key)).get(key, "")


def _said(patterns: Any) -> Patterns:
    read = patterns.select_related("component").only(
        "face", "datum", "measured_on", "component__maker", "component__name"
    )
    words = gettext("{pattern}, {measured_on}, from {datum}, no. {pk}")
    return {
        one.pk: text_html(
            words.format(pattern=one, measured_on=day(one.measured_on), datum=Truncator(one.datum).chars(40), pk=one.pk)
        )
        for one in read
    }

"""Filters over a list, kept in its address."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import django_filters
from django import forms
from django.db.models import Q
from django.http import HttpRequest
from django.utils.translation import gettext

from shop.base.common_words import CommonWords
from shop.base.forms import Form
from shop.base.language import gettext_lazy, offered
from shop.base.roles import Person
from shop.base.search_results import holding
from shop.base.seen_by import hidden_names, seen_by
from shop.base.unchanged import while_unchanged
from specs.phrase import phrase
from specs.row_queries import narrowed


class FilterForm(Form):
    """The form of a list's filters: what is left empty does not count."""


class FilterSet(django_filters.FilterSet):
    """The base of every list's filters. ``TextFilter`` finds fragments in several fields at once."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.leave_out(self.hidden_from(getattr(self.request, "user", None)))

    common_words: CommonWords | None = None
    """What was typed, where very many rows hold it."""

    def filter_queryset(self, queryset: Any) -> Any:
        """Narrow the rows down, by what was chosen before by words: what these leave is sought among the others."""
        by_index = [name for name, one in self.filters.items() if isinstance(one, IndexedFilter)]
        for name in (*(self.form.cleaned_data.keys() - by_index), *by_index):
            queryset = self.filters[name].filter(queryset, self.form.cleaned_data[name])
        return queryset

    def leave_out(self, names: Iterable[str]) -> None:
        for name in names:
            del self.filters[name]

    @classmethod
    def hidden_from(cls, person: Person | None) -> tuple[str, ...]:
        """The names of the filters by money that this person may not see."""
        named = {name: seen_by(one, cls._meta.model, one.field_name or "") for name, one in cls.base_filters.items()}
        return tuple(hidden_names(person, named))

    def get_form_class(self) -> type[forms.Form]:
        fields = {name: filter_.field for name, filter_ in self.filters.items()}
        return type(f"{type(self).__name__}Form", (FilterForm,), fields)


@while_unchanged
def fields_html(filters: type[FilterSet], hidden: tuple[str, ...]) -> str:
    """The fields of a list that nobody narrowed down: what they offer is read anew when somebody changed it."""
    unasked = filters()
    unasked.leave_out(hidden)
    return str(unasked.form)


class TextFilter(django_filters.CharFilter):
    """Rows in which every typed word occurs in at least one of the named fields."""

    def __init__(self, *fields: str, **kwargs: Any) -> None:
        super().__init__(**{"label": gettext("Search"), **kwargs})
        self.fields = fields

    def filter(self, qs: Any, value: str | None) -> Any:
        for word in (value or "").split():
            anywhere = Q()
            for field in self.fields:
                anywhere |= Q(**{f"{field}__icontains": word})
            qs = qs.filter(anywhere)
        return qs


class YesNoFilter(django_filters.ChoiceFilter):
    """Rows of which something is so, is not so, or either."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"choices": offered(("yes", "no")), "empty_label": phrase("all"), **kwargs})

    def filter(self, qs: Any, value: str | None) -> Any:
        return super().filter(qs, value == "yes") if value else qs


class SearchFilter(TextFilter):
    """Words found by the queryset's own search, with or without their separators."""

    def filter(self, qs: Any, value: str | None) -> Any:
        return qs.search(value) if value and value.strip() else qs


class IndexedFilter(TextFilter):
    """Words found by the index of everything that is searched, whatever the number of rows."""

    parent: FilterSet

    def filter(self, qs: Any, value: str | None) -> Any:
        if not (value and value.strip()):
            return qs
        found, self.parent.common_words = holding(qs, value)
        return found


def asks_for_deleted(request: HttpRequest) -> bool:
    """Whether the address asks for the records that were deleted."""
    return request.GET.get("show") == "deleted"


def rows_asked(request: HttpRequest, rows: Any) -> Any:
    """The records that nobody deleted; the deleted ones where the address asks for them."""
    return narrowed(rows, _deleted if asks_for_deleted(request) else _current)


def _current(rows: Any) -> Any:
    return rows.active()


def _deleted(rows: Any) -> Any:
    return rows.exclude(deleted_at=None).select_related("deleted_by")


class DeletableFilters(FilterSet):
    """Filters over records that can be deleted; `rows_asked` reads the choice, before the others filter."""

    show = django_filters.ChoiceFilter(
        choices=[("deleted", gettext_lazy("deleted"))],
        label=gettext_lazy("Show"),
        empty_label=gettext_lazy("current"),
        method="asked",
    )

    def asked(self, rows: Any, name: str, value: str) -> Any:
        return rows

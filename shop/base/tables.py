"""The one table of the shop.

::

    class LateOrders(Table):
        order = Column(linkify=True)
        promised = DateColumn()
        bore = UnitColumn(kind="length")
        empty = "No order is late. Orders are chased from their own page."
        new = ("orders:order-new", "Add order")

Columns of a model (``Meta.model``, ``Meta.fields``) become ours by themselves. Order by default with
``Meta.order_by``. The page around it is ``lists.list_page``.
"""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import django_tables2
from django.db import models
from django.utils.functional import Promise
from django.utils.timezone import localtime
from django.utils.translation import gettext
from django_tables2 import Column
from django_tables2.columns import library

from shop.base.access import system_of
from shop.base.language import gettext_lazy, word
from shop.base.money import to_cents
from shop.base.roles import Person
from shop.base.seen_by import PART_PRICES, hidden_names, seen_by
from shop.base.written import comma_moment, day, num
from specs.engine import units
from specs.phrase import Phrase

__all__ = [
    "Column",
    "DateColumn",
    "Fact",
    "FactsColumn",
    "MomentColumn",
    "MoneyColumn",
    "NumberColumn",
    "Table",
    "UnitColumn",
    "YesNoColumn",
]

# A number with hyphens, such as an order's, that is read as one word.
TOGETHER = {"td": {"class": "together"}}
NUMBER_CELL = {"td": {"class": "number"}, "th": {"class": "number"}}


class WordColumn(Column):
    """One of a few words that are kept in English (a role, a unit), as the reader says it."""

    def render(self, value: Any) -> str:
        return word(str(value))


class _Columns(OrderedDict[str, Column]):
    """The columns of a table's class, of which each table takes copies; what these hold is shared.

    The library copies that too, down to the last letter of a style: a tenth of the time of a list.
    """

    def __deepcopy__(self, memo: Any) -> OrderedDict[str, Column]:
        return OrderedDict((name, copy(column)) for name, column in self.items())


class Table(django_tables2.Table):
    """The base of every table: ours in look, sorted and paged by the address."""

    empty = gettext_lazy("Nothing here yet.")
    empty_action: tuple[str, str] | None = None
    # The form for one more row; the list shows its button to whoever may use it.
    new: tuple[str, str] | None = None
    # The list whose rows can be ticked here, to do one thing to many (`shop.base.bulk`); none: no boxes.
    bulk = ""
    exclude: Any
    # The columns that a phone shows of a row under its name, the last one at the right; none: all, each with its label.
    on_phone: tuple[str, ...] = ()
    # Whether what a phone shows at the right says by itself what it is, as a size with its unit does.
    says_itself = False

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        cls.base_columns = _Columns(cls.base_columns)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for bound in self.columns.iterall():
            said, own = str(bound.header), bound.column.verbose_name
            is_said = isinstance(own, Promise | Phrase)  # many are named after their field alone
            bound.column.verbose_name = said if is_said else gettext(said)

    class Meta:
        template_name = "base/table.html"
        order_by_field = "sort"
        page_field = "page"
        default = "–"

    def leave_out_for(self, person: Person) -> None:
        """Leave out, from the page and from files, the columns of money that this person may not see."""
        model = self._meta.model
        named = {name: seen_by(bound.column, model, str(bound.accessor)) for name, bound in self.columns.items()}
        self.exclude = (*self.exclude, *hidden_names(person, named))

    @property
    def desk_only(self) -> frozenset[str]:
        """The columns that a phone leaves out of a row, and by which it offers no sorting."""
        names = [bound.name for bound in self.columns]
        return frozenset(names[1:]).difference(self.on_phone) if self.on_phone else frozenset()

    def place_on_phone(self, column: str) -> str:
        """A word for the style sheet: where a phone shows a column."""
        if not self.on_phone:
            return ""
        if column == self.on_phone[-1]:
            return "at-right plain" if self.says_itself else "at-right"
        return "below" if column in self.on_phone or column == "deleted" else "desk"

    @property
    def system(self) -> units.System:
        """The reader's units; metric for a table outside a request."""
        return system_of(getattr(self, "request", None))


@library.register
class DateColumn(Column):
    """A day on one line: "14 May 2026"; in a file the day itself. (The library's own compiles a template a cell.)"""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"attrs": TOGETHER, **options})

    def render(self, value: date) -> str:
        return day(value)

    def value(self, value: Any, **kwargs: Any) -> Any:
        return value

    @classmethod
    def from_field(cls, field: Any, **kwargs: Any) -> "DateColumn | None":
        return cls(**kwargs) if type(field) is models.DateField else None


@library.register
class MomentColumn(Column):
    """A day and time in the shop's own time zone."""

    def render(self, value: datetime) -> str:
        return comma_moment(localtime(value))

    def value(self, value: Any, **kwargs: Any) -> Any:
        return localtime(value) if isinstance(value, datetime) else value

    @classmethod
    def from_field(cls, field: Any, **kwargs: Any) -> "MomentColumn | None":
        return cls(**kwargs) if isinstance(field, models.DateTimeField) else None


@library.register
class NumberColumn(Column):
    """A number, figures under figures."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("attrs", NUMBER_CELL)
        super().__init__(*args, **kwargs)

    def value(self, value: Any, **kwargs: Any) -> Any:
        return value

    @classmethod
    def from_field(cls, field: Any, **kwargs: Any) -> "NumberColumn | None":
        numbers = models.DecimalField | models.IntegerField | models.FloatField
        plain = isinstance(field, numbers) and not field.choices
        return cls(**kwargs) if plain else None


class MoneyColumn(NumberColumn):
    """An amount in the shop's currency, with cents, for whoever may see it; its heading names the currency."""

    def __init__(self, *args: Any, seen_by: str = PART_PRICES, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen_by = seen_by

    def render(self, value: Any) -> str:
        return num(to_cents(value), ".2f")

    def value(self, value: Any, **kwargs: Any) -> Any:
        return to_cents(value)


@dataclass(frozen=True)
class Fact:
    """One cell of a file: its heading, with the unit of its numbers, and how it is read off a row of the table."""

    heading: str
    of: Callable[[Any, Any], Any]
    """Of the table and the record: text, a number, a day, a moment, yes or no; None for an empty cell."""


class FactsColumn(Column):
    """Several facts in one sentence on the page ("15 days or more"), each a cell of its own in a file."""

    def __init__(self, *args: Any, facts: Sequence[Fact], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.facts = tuple(facts)


@library.register
class YesNoColumn(Column):
    """True or false in words."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("empty_values", (None,))
        super().__init__(*args, **kwargs)

    def render(self, value: bool) -> str:
        return gettext("yes") if value else gettext("no")

    @classmethod
    def from_field(cls, field: Any, **kwargs: Any) -> "YesNoColumn | None":
        return cls(**kwargs) if isinstance(field, models.BooleanField) else None


class UnitColumn(NumberColumn):
    """An SI value shown with its unit in the reader's system; a bare number in the metric unit in a CSV."""

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kind = units.KINDS[kind]

    def render(self, value: float, table: Table) -> str:
        return units.show(value, self.kind, table.system)

    def value(self, value: Any, **kwargs: Any) -> Any:
        return self.kind.from_si(value) if isinstance(value, float) else value

    @property
    def exported_unit(self) -> str:
        """The unit of the CSV's numbers, for its heading."""
        return self.kind.unit

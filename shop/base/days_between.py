"""The days from one day to another, worked out by the database: of a hundred thousand rows none has its days read."""

from __future__ import annotations

from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Func, IntegerField
from django.db.models.sql.compiler import SQLCompiler


class DaysBetween(Func):
    """`DaysBetween(day, since)`: the days from `since` to `day`, both without a time; null where one of them is.

    PostgreSQL subtracts dates to whole days (manual 9.9); SQLite by Julian day numbers (sqlite.org, Date And Time
    Functions), whose halves cancel.
    """

    arity = 2
    arg_joiner = " - "
    template = "(%(expressions)s)"
    output_field = IntegerField()

    def as_sqlite(self, compiler: SQLCompiler, connection: BaseDatabaseWrapper, **more: Any) -> Any:
        (day, given), (since, more_given) = (compiler.compile(one) for one in self.get_source_expressions())
        return f"CAST(julianday({day}) - julianday({since}) AS integer)", (*given, *more_given)

"""Rows as plain text, the same from SQLite and from PostgreSQL: what a table holds, counted, hashed, written again.

A row is one line of JSON, its values in the order of the columns' names. A table's digest is the sum of its lines'
SHA-256 modulo 2²⁵⁶, so that the order in which a database hands them out does not matter.
"""

import base64
import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import islice
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.db.models import Field, FileField, Model
from django.utils.translation import gettext

from shop.copies.manifest import Migration
from shop.copies.refusals import CopyRefused

BATCH = 500
MODULUS = 1 << 256
# Kinds of field whose values JSON has already.
PLAIN = (str, int, float, bool, list, dict)
READERS: dict[str, Callable[[Any], Any]] = {
    "DateTimeField": datetime.fromisoformat,
    "DateField": date.fromisoformat,
    "DecimalField": Decimal,
    "BinaryField": base64.b64decode,
}


@dataclass
class Tally:
    """How many rows a table holds, and the sum of their digests."""

    count: int = 0
    total: int = 0

    def add(self, line: str) -> str:
        self.count += 1
        self.total = (self.total + int.from_bytes(hashlib.sha256(line.encode()).digest())) % MODULUS
        return line


def known_migrations() -> set[Migration]:
    """Every migration that this version of the program has."""
    return set(MigrationLoader(None).disk_migrations)


def refuse_newer(migrations: Iterable[Migration]) -> None:
    """Raise CopyRefused for what another program, or a newer version of this one, has made."""
    asked = set(migrations)
    if not {("auth", "0001_initial"), ("people", "0001_start"), ("specs", "0001_start")} <= asked:
        raise CopyRefused(
            gettext("Its database is not one of this program: it was not made by this program's migrations.")
        )
    if unknown := sorted(asked - known_migrations()):
        named = ", ".join(".".join(one) for one in unknown[:3])
        raise CopyRefused(
            gettext(
                "It was made by a newer version of the program ({named}). Bring it back with the version that made it."
            ).format(named=named)
        )


def models_after(migrations: Iterable[Migration]) -> list[type[Model]]:
    """The models as they were after these migrations, one a table, and the table of migrations itself."""
    nodes = list(migrations)
    state = MigrationLoader(None).project_state(nodes)
    found = {model._meta.db_table: model for model in state.apps.get_models(include_auto_created=True)}
    recorder = MigrationRecorder.Migration
    return [found[name] for name in sorted(found) if found[name]._meta.managed] + [recorder]


def applied(connection: BaseDatabaseWrapper) -> tuple[Migration, ...]:
    return tuple(sorted(MigrationRecorder(connection).applied_migrations()))


def _columns(model: type[Model]) -> list["Field[Any, Any]"]:
    return sorted(model._meta.concrete_fields, key=lambda field: str(field.column))


def read_lines(model: type[Model], connection: BaseDatabaseWrapper) -> Iterator[str]:
    """Every row of a table as a line."""
    names = [field.attname for field in _columns(model)]
    rows = model._base_manager.using(connection.alias).order_by("pk").values_list(*names)
    for row in rows.iterator(chunk_size=BATCH):
        yield json.dumps([_plain(value) for value in row], ensure_ascii=False, sort_keys=True)


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, PLAIN):
        return value
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode()
    raise TypeError(gettext("no plain form of {name}").format(name=type(value).__name__))


def write_lines(model: type[Model], connection: BaseDatabaseWrapper, lines: Iterable[str]) -> Tally:
    """Write rows as they were read, past saves and signals. Raises CopyRefused for one that the table does not take."""
    columns, tally, waiting = _columns(model), Tally(), iter(lines)
    quote = connection.ops.quote_name
    words = (
        f"INSERT INTO {quote(model._meta.db_table)} ({', '.join(quote(str(one.column)) for one in columns)}) VALUES "
    )
    words += f"({', '.join(['%s'] * len(columns))})"
    while batch := list(islice(waiting, BATCH)):
        rows = [_prepared(tally.add(line), columns, model, connection) for line in batch]
        with connection.cursor() as cursor:
            cursor.executemany(words, rows)
    return tally


def _prepared(line: str, columns: list[Any], model: type[Model], connection: BaseDatabaseWrapper) -> list[Any]:
    try:
        row = json.loads(line)
        values = [_value(field, one) for field, one in zip(columns, row, strict=True)]
        return [field.get_db_prep_save(value, connection) for field, value in zip(columns, values, strict=True)]
    except (ValueError, TypeError, ArithmeticError, RecursionError):
        raise CopyRefused(
            gettext("A row of table {db_table} cannot be read.").format(db_table=model._meta.db_table)
        ) from None


def _value(field: Any, plain: Any) -> Any:
    kind = field.get_internal_type()
    return READERS[kind](plain) if plain is not None and kind in READERS else plain


def files_named(models: Iterable[type[Model]], connection: BaseDatabaseWrapper) -> set[str]:
    """Every file that a record names."""
    named: set[str] = set()
    for model in models:
        for field in model._meta.concrete_fields:
            if isinstance(field, FileField):
                named |= set(model._base_manager.using(connection.alias).values_list(field.attname, flat=True))
    return named - {"", None}


def tallies(models: Iterable[type[Model]], connection: BaseDatabaseWrapper) -> dict[str, Tally]:
    """What each table holds."""
    found = {}
    for model in models:
        found[model._meta.db_table] = tally = Tally()
        for line in read_lines(model, connection):
            tally.add(line)
    return found


def numbers(models: Iterable[type[Model]], connection: BaseDatabaseWrapper) -> dict[str, int]:
    """The last number that each table gave, also where its row is gone."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            return dict(cursor.execute("SELECT name, seq FROM sqlite_sequence").fetchall())
    return {table: last for table, sequence in _sequences(models, connection) if (last := _last(sequence, connection))}


def set_numbers(
    models: Iterable[type[Model]], connection: BaseDatabaseWrapper, given: dict[str, int], above: int = 0
) -> None:
    """Let each table give numbers above those given, and above every row's, by so many more."""
    if connection.vendor == "sqlite":
        every = [(table, number + above) for table, number in given.items()]
        with connection.cursor() as cursor:
            cursor.execute("DELETE FROM sqlite_sequence")
            cursor.executemany("INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", every)
        return
    for table, sequence in _sequences(models, connection):
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT max(id) FROM {connection.ops.quote_name(table)}")
            last = max(cursor.fetchone()[0] or 0, given.get(table, 0)) + above
            cursor.execute("SELECT setval(%s, %s, %s)", [sequence, max(last, 1), last > 0])


def _sequences(models: Iterable[type[Model]], connection: BaseDatabaseWrapper) -> Iterator[tuple[str, str]]:
    for model in models:
        key = model._meta.pk
        if key is not None and key.get_internal_type() in ("AutoField", "BigAutoField"):
            table = model._meta.db_table
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [f'"{table}"', key.column])
                yield table, cursor.fetchone()[0]


def _last(sequence: str, connection: BaseDatabaseWrapper) -> int:
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT last_value, is_called FROM {sequence}")
        last, called = cursor.fetchone()
    return int(last) if called else 0

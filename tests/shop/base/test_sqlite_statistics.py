"""The nightly work counts the rows that SQLite's plans rest on; without, it plans for tables it knows nothing of."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection

from shop.vehicles.models import Customer

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL counts by itself"),
]


def rows_known(table: str) -> set[int]:
    """How many rows SQLite takes a table for, by each of its indexes."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT stat FROM sqlite_stat1 WHERE tbl = %s", [table])
        return {int(told.split()[0]) for (told,) in cursor.fetchall()}


def test_every_night_sqlite_is_told_how_many_rows_there_are():
    for total in (3, 40):
        Customer.objects.bulk_create(Customer(name=f"Maren {at}") for at in range(total - Customer.objects.count()))
        call_command("prune", stdout=StringIO())
        assert rows_known(Customer._meta.db_table) == {total}

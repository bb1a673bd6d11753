"""What plans rest on is counted every night, and after many rows came in at once: else they are planned for as few."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from shop.base import long_work
from shop.base.long_work import LongKind, WorkProgress, begin
from shop.base.plan_statistics import MANY
from shop.copies import rows
from shop.copies.postgres import fill_tables
from shop.vehicles.models import Customer
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db

TABLE = Customer._meta.db_table


def rows_known() -> set[int]:
    """How many rows the database takes a table for; SQLite by each of its indexes."""
    if connection.vendor == "sqlite":
        asked, given = "SELECT stat FROM sqlite_stat1 WHERE tbl = %s", [TABLE]
    else:
        asked, given = "SELECT reltuples FROM pg_class WHERE oid = %s::regclass", [TABLE]
    with connection.cursor() as cursor:
        cursor.execute(asked, given)
        return {int(str(told).split()[0].removesuffix(".0")) for (told,) in cursor.fetchall()}


def add_customers(total: int) -> None:
    Customer.objects.bulk_create(Customer(name=f"Maren {at}") for at in range(total - Customer.objects.count()))


def test_every_night_the_database_is_told_how_many_rows_there_are():
    for total in (3, 40):
        add_customers(total)
        call_command("prune", stdout=StringIO())
        assert rows_known() == {total}


@pytest.mark.parametrize(("brought", "told"), [(MANY, {MANY}), (MANY - 1, {1})])
def test_after_many_records_were_brought_in_it_is_told_at_once(monkeypatch, brought, told):
    def run(given, person):
        add_customers(brought)
        yield WorkProgress(brought, brought, "")

    kind = LongKind("test.customers", run, "people.manage", leads_to="home:today")
    monkeypatch.setattr(long_work, "long_kinds", lambda: {kind.name: kind})
    add_customers(1)
    call_command("prune", stdout=StringIO())
    owner = make_person(username="hedda", roles=["owner"])
    begin(kind.name, title="Customers", given={}, person=owner, now=timezone.now())
    assert rows_known() == told


def test_tables_that_a_copy_filled_are_counted_before_anybody_reads_them():
    add_customers(30)
    lines = list(rows.read_lines(Customer, connection))
    Customer.objects.all().delete()
    fill_tables(connection, [Customer], {TABLE: lines})
    assert rows_known() == {30}

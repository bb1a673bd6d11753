"""A write leaves a mark of its table, whoever writes; what reads none of the tables written is not asked again."""

import sqlite3
from contextlib import closing

import pytest
from django.conf import settings
from django.contrib.auth.models import Group, User
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from shop.base import table_marks
from shop.base.state_mark import mark, written_since
from shop.base.table_marks import marks_of
from shop.base.unchanged import while_unchanged
from shop.vehicles.models import Customer
from specs.models import Component
from tests.factories.measuring import make_component
from tests.factories.people import make_person

ON_SQLITE = "sqlite" in settings.DATABASES["default"]["ENGINE"]
pytestmark = pytest.mark.django_db(transaction=True)
on_sqlite = pytest.mark.skipif(not ON_SQLITE, reason="what SQLite alone has")


def raw() -> None:
    with connection.cursor() as cursor:
        cursor.execute("update specs_component set notes = 'by hand'")


def in_a_transaction() -> None:
    with transaction.atomic():
        Component.objects.update(notes="in a transaction")


WRITES = {
    "create": lambda: Component.objects.create(name="one more", maker="Aldern", kind="gearbox"),
    "update": lambda: Component.objects.update(notes="written"),
    "delete": lambda: Component.objects.filter(name="to go")._raw_delete("default"),
    "many": lambda: Component.objects.bulk_create([Component(name="a", kind="gearbox"), Component(name="b")]),
    "or nothing": lambda: Component.objects.bulk_create([Component(name="c")], ignore_conflicts=True),
    "raw": raw,
    "in a transaction": in_a_transaction,
}


class Look:
    """What was written since somebody looked."""

    def __init__(self) -> None:
        self.state = mark()
        self.left = written_since(None, None, self.state)[0]

    def written(self) -> frozenset[str] | None:
        return written_since(self.state, self.left, mark())[1]


@pytest.mark.parametrize("way", WRITES)
def test_each_way_of_writing_marks_its_table_and_no_other(way):
    make_component(name="to go")
    before = Look()
    WRITES[way]()
    written = before.written()
    assert "specs_component" in written
    assert written <= {"specs_component", "specs_historicalcomponent"}


def test_a_table_between_two_others_is_marked_too():
    person, group = make_person(), Group.objects.get_or_create(name="fitter")[0]
    before = Look()
    person.groups.add(group)
    assert "auth_user_groups" in before.written()


def test_a_key_that_leads_nowhere_is_refused_as_every_error_of_the_database_is():
    customer = Customer.objects.create(name="Nia Hollin")
    with pytest.raises(IntegrityError):
        Customer.objects.filter(pk=customer.pk).update(deleted_by_id=999_999)
    assert not ON_SQLITE or not connection.connection.in_transaction


def test_what_is_taken_back_or_refused_marks_nothing():
    make_person(username="hedda")
    before = Look()
    with transaction.atomic():
        Component.objects.update(notes="taken back")
        transaction.set_rollback(True)
    with pytest.raises(IntegrityError):
        User.objects.bulk_create([User(username="hedda")])
    with pytest.raises(IntegrityError):
        User.objects.create(username="hedda")
    # On SQLite nothing moved; on PostgreSQL, where numbers of transactions were spent, nothing was written.
    assert mark() == before.state if ON_SQLITE else before.written() == frozenset()


@pytest.fixture
def names():
    @while_unchanged
    def read() -> list[str]:
        return list(Component.objects.order_by("pk").values_list("name", flat=True))

    return read


def asked(names) -> tuple[list[str], int]:
    """The names, and how often the database was asked for them: PostgreSQL is asked beside that what was written."""
    with CaptureQueriesContext(connection) as captured:
        return names(), len([query for query in captured if "specs_component" in query["sql"].partition("pg_")[0]])


def test_a_write_elsewhere_has_nothing_asked_again(names):
    make_component(name="one")
    names()
    Customer.objects.create(name="Nobody")
    assert asked(names) == (["one"], 0)
    Component.objects.update(name="two")
    assert names() == ["two"]


@on_sqlite
def test_what_another_program_wrote_into_the_file_is_seen(names):
    make_component(name="one")
    assert names() == ["one"]
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as other, other:
        other.execute("UPDATE specs_component SET name = 'by another program'")
    assert names() == ["by another program"]


def test_a_question_whose_tables_nobody_knows_counts_as_written():
    assert marks_of('SELECT 1 FROM "specs_component" INNER JOIN "auth_user" ON (1)') == {
        "specs_component",
        "auth_user",
    }
    assert marks_of("SELECT rowid FROM base_searchtrigrams") is None
    assert marks_of('SELECT e.key FROM base_searchtrigrams CROSS JOIN "specs_component" e') is None


@on_sqlite
def test_who_looks_again_reads_the_marks_left_since_and_no_others(monkeypatch):
    """However many there are; and where the number that he saw was cleared away, everything counts as written."""
    monkeypatch.setattr(table_marks, "_KEPT", 4)
    monkeypatch.setattr(table_marks, "_AT_ONCE", 1)
    make_component(name="one")
    for turn in range(3):
        before = Look()
        Customer.objects.update(name=f"Nobody {turn}")
        assert before.written() == {"vehicles_customer"}
    before = Look()
    for _ in range(3):
        Component.objects.update(notes="written")
    assert before.written() == {"specs_component"}
    Component.objects.update(notes="once more")
    assert before.written() is None
    assert numbers() <= 6


def numbers() -> int:
    with connection.cursor() as cursor:
        return cursor.execute("SELECT count(*) FROM base_markedwrite").fetchone()[0]


@on_sqlite
def test_a_file_that_another_history_was_read_back_into_counts_as_written():
    """The same numbers, other writes: a copy of before, and as many writes since as there were meanwhile."""
    make_component(name="one")
    with closing(sqlite3.connect(":memory:")) as copy, closing(sqlite3.connect(connection.settings_dict["NAME"])) as it:
        it.backup(copy)
        Customer.objects.update(name="Of the first history")
        before = Look()
        copy.backup(it)
        Component.objects.update(notes="of the second")
        assert before.left[0] == Look().left[0]
        assert before.written() is None


@on_sqlite
def test_a_statement_of_which_nobody_knows_what_it_writes_marks_every_table():
    before = Look()
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE made_meanwhile (id integer)")
        cursor.execute("DROP TABLE made_meanwhile")
    assert before.written() is None

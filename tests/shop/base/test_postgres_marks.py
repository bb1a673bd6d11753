"""PostgreSQL's triggers leave a mark whoever writes, by whatever program and with whatever rights."""

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import OperationalError, connection, transaction

from shop.base import postgres_marks
from shop.base.state_mark import mark
from shop.base.table_marks import known_tables
from shop.management.schema import prepare_tables
from shop.vehicles.models import Customer
from specs.models import Component
from tests.factories.measuring import make_component
from tests.shop.base.test_table_marks import Look

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif("postgresql" not in settings.DATABASES["default"]["ENGINE"], reason="PostgreSQL's own triggers"),
]


def run(*statements: str) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def copied_in() -> None:
    with connection.cursor() as cursor, cursor.copy("COPY django_content_type (app_label, model) FROM STDIN") as rows:
        rows.write("nobody\tnothing\n")


def by_another_role() -> None:
    run("CREATE ROLE bookkeeper", "GRANT UPDATE, SELECT ON vehicles_customer TO bookkeeper")
    try:
        run("SET ROLE bookkeeper", "SET search_path = pg_catalog", "UPDATE public.vehicles_customer SET name = 'B'")
    finally:
        run("RESET ROLE", "RESET search_path", "REVOKE ALL ON vehicles_customer FROM bookkeeper")
        run("DROP ROLE bookkeeper")


def while_triggers_sleep() -> None:
    try:
        run("SET session_replication_role = replica", "UPDATE vehicles_customer SET name = 'C'")
    finally:
        run("RESET session_replication_role")


WRITES = {
    "vehicles_customer": [
        by_another_role,
        while_triggers_sleep,
        lambda: run("INSERT INTO vehicles_customer SELECT * FROM vehicles_customer WHERE false"),
        lambda: run("TRUNCATE vehicles_customer CASCADE"),
        lambda: run("WITH w AS (UPDATE vehicles_customer SET name = 'D' RETURNING 1) SELECT count(*) FROM w"),
    ],
    "django_content_type": [copied_in],
}


@pytest.mark.parametrize(("table", "write"), [(table, way) for table, ways in WRITES.items() for way in ways])
def test_each_way_of_writing_leaves_a_mark(table, write):
    Customer.objects.create(name="A")
    before = Look()
    write()
    assert table in before.written()


def test_who_reads_nothing_of_the_marks_may_not_touch_them_either():
    run("CREATE ROLE reader")
    try:
        run("SET ROLE reader")
        with pytest.raises(Exception, match="permission denied"):
            run("DELETE FROM base_tablemark")
    finally:
        run("RESET ROLE", "DROP ROLE reader")


def test_a_write_that_was_begun_before_the_look_counts_when_it_is_over():
    other = connection.copy("other")
    try:
        other.set_autocommit(False)
        with other.cursor() as cursor:
            cursor.execute("INSERT INTO specs_component SELECT * FROM specs_component WHERE false")
            before = Look()
            make_component(name="meanwhile")
            assert "specs_component" in before.written()
            between = Look()
            assert between.written() == frozenset()
            other.commit()
        assert between.written() == {"specs_component"}
    finally:
        other.close()


def test_after_a_clearing_who_looked_before_it_takes_everything_as_written():
    before = Look()
    Component.objects.update(notes="written")
    call_command("prune", verbosity=0)
    assert before.written() is None
    after = Look()
    Customer.objects.create(name="E")
    assert "vehicles_customer" in after.written()


def test_a_clearing_that_is_not_over_hides_nothing_from_who_looks_meanwhile():
    other = connection.copy("other")
    try:
        with other.cursor() as cursor:
            with transaction.atomic():
                postgres_marks.clear(connection)
                before = postgres_marks.state(cursor)
                cursor.execute("UPDATE specs_component SET notes = 'F'")
                now = postgres_marks.state(cursor)
                found = postgres_marks.written_between(cursor, before, now, known_tables())
                assert found == (True, {"specs_component"})
            now = postgres_marks.state(cursor)
            assert postgres_marks.written_between(cursor, before, now, known_tables()) == (True, None)
    finally:
        other.close()


def test_marks_of_a_server_that_had_counted_further_are_nobodys():
    further = "(pg_snapshot_xmax(pg_current_snapshot())::text::bigint + 1000000)::text::xid8"
    run(f"INSERT INTO base_tablemark VALUES ({further}, 'vehicles_customer'), ({further}, '')")
    try:
        before = Look()
        run("UPDATE specs_component SET notes = 'F'")
        assert before.written() == {"specs_component"}
    finally:
        postgres_marks.clear(connection)


def test_a_mark_is_asked_on_the_connection_that_is_open():
    before = mark()
    connection.close()
    assert mark() == before
    other = connection.copy("other")
    try:
        with other.cursor() as cursor:
            cursor.execute("SELECT pg_terminate_backend(%s)", [connection.connection.info.backend_pid])
        with pytest.raises(OperationalError):
            mark()
        connection.close_if_unusable_or_obsolete()
        assert mark() == before
    finally:
        other.close()


def test_the_first_question_of_a_request_finds_a_server_that_was_started_again(monkeypatch):
    """Each thread keeps its connection: the first page after a restart would be an error in every one of them."""
    monkeypatch.setitem(connection.settings_dict, "CONN_HEALTH_CHECKS", True)
    connection.close()
    before = mark()
    other = connection.copy("other")
    try:
        connection.close_if_unusable_or_obsolete()  # as each request begins
        with other.cursor() as cursor:
            cursor.execute("SELECT pg_terminate_backend(%s)", [connection.connection.info.backend_pid])
        assert mark() == before
        assert connection.health_check_done, "Django asks no question of its own"
    finally:
        other.close()
        connection.close()


def test_a_table_without_its_trigger_may_have_been_written_until_it_has_it_again():
    before = Look()
    run("ALTER TABLE vehicles_customer DISABLE TRIGGER USER")
    assert before.written() is None
    postgres_marks.prepare(connection, known_tables())
    assert before.written() is None
    after = Look()
    Customer.objects.create(name="G")
    assert "vehicles_customer" in after.written()


def test_another_table_of_marks_is_another_count():
    before = Look()
    run("ALTER TABLE base_tablemark RENAME TO set_aside", "CREATE TABLE base_tablemark (LIKE set_aside INCLUDING ALL)")
    try:
        assert before.written() is None
    finally:
        run("DROP TABLE base_tablemark", "ALTER TABLE set_aside RENAME TO base_tablemark")
    run("ALTER TABLE base_tablemark RENAME TO set_aside")
    try:
        run("DROP TRIGGER base_leave_mark ON vehicles_customer")
        assert Look().written() is None  # brought back from a copy, and nothing migrated yet
    finally:
        run("ALTER TABLE set_aside RENAME TO base_tablemark")
        postgres_marks.prepare(connection, known_tables())


def test_every_table_of_the_site_has_its_trigger():
    prepare_tables()
    with connection.cursor() as cursor:
        cursor.execute(postgres_marks._SILENT, postgres_marks._named(known_tables()))
        assert cursor.fetchall() == []

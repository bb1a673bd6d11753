"""The demo's tables, made straight from the models, are those that migrating from nothing makes."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from shop.management.schema import known_migrations
from tests.postgres import NoPostgres, throwaway

ROOT = Path(__file__).parents[3]
READ = """
import json, re, django; django.setup()
from django.db import connection
from shop.management.schema import prepare_tables
{make}
cursor = connection.cursor()

def rows(sql):
    cursor.execute(sql)
    return cursor.fetchall()

def told_of(row):
    # A name that Django made up carries a digest of the names that stood when it was made.
    return [re.sub(r"\\w+_[0-9a-f]{8}(_\\w+)?|^fk_\\d+$|__unnamed\\w+", "made up", str(part)) for part in row]

read = connection.introspection
told = {}
for table in sorted(read.table_names(cursor)):
    columns = [told_of(column) for column in read.get_table_description(cursor, table)]
    held = [told_of([name, *one.items()]) for name, one in read.get_constraints(cursor, table).items()]
    # Django's own migrations make these numbers larger than its models ask for: either holds every row there will be.
    wider = table in ("auth_group_permissions", "auth_user_groups", "auth_user_user_permissions")
    told[table] = [sorted(column[:1] if wider else column for column in columns), sorted(held)]
if connection.vendor == "postgresql":
    told["constraints"] = rows("SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint")
    told["indexes"] = rows("SELECT tablename, indexname, indexdef FROM pg_indexes WHERE schemaname = 'public'")
else:
    told["indexes"] = rows("SELECT tbl_name, name, sql FROM sqlite_master WHERE type = 'index' AND sql <> ''")
told |= {name: sorted(map(told_of, told[name])) for name in ("constraints", "indexes") if name in told}
told["done"] = sorted(map(list, rows("SELECT app, name FROM django_migrations")))
told["groups"] = sorted(map(list, rows("SELECT name FROM auth_group")))
told["permissions"] = sorted(map(list, rows("SELECT codename FROM auth_permission")))
print(json.dumps(told))
"""
MIGRATED = "from django.core.management import call_command; call_command('migrate', verbosity=0)"
STRAIGHT = "prepare_tables()"


def tables(make: str, **environment: str) -> dict[str, Any]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("DJANGO", "PYTEST", "DATABASE"))}
    given = {**kept, "SHOP_LOCAL": "1", "DJANGO_SETTINGS_MODULE": "shop.settings", **environment}
    words = [sys.executable, "-c", READ.replace("{make}", make)]
    ran = subprocess.run(words, cwd=ROOT, env=given, capture_output=True, text=True, timeout=600)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return json.loads(ran.stdout)


def assert_alike(straight: dict[str, Any], migrated: dict[str, Any]) -> None:
    assert straight.keys() == migrated.keys()
    assert {name: (straight[name], migrated[name]) for name in straight if straight[name] != migrated[name]} == {}


def test_both_ways_make_the_same_tables_on_sqlite(tmp_path: Path) -> None:
    straight, migrated = (tables(make, SHOP_DATA=str(tmp_path / make[:4])) for make in (STRAIGHT, MIGRATED))
    assert len(straight) > 60
    assert_alike(straight, migrated)


@pytest.mark.desk
@pytest.mark.postgres
def test_both_ways_make_the_same_tables_on_postgresql(tmp_path: Path) -> None:
    try:
        with throwaway() as one, throwaway() as other:
            straight = tables(STRAIGHT, SHOP_DATA=str(tmp_path), DATABASE_URL=one)
            assert_alike(straight, tables(MIGRATED, SHOP_DATA=str(tmp_path), DATABASE_URL=other))
    except NoPostgres as lack:
        pytest.fail(str(lack)) if os.environ.get("CI") == "true" else pytest.skip(str(lack))


@pytest.mark.django_db
def test_the_migrations_are_known_by_name_without_reading_them():
    assert known_migrations() == set(MigrationLoader(connection).disk_migrations)

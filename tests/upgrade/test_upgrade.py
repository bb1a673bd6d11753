"""A database of every kept version is migrated to today's, loses no row, and its pages open.

On SQLite by the command that people run, in test_there_and_back.py; on PostgreSQL here.
"""

import gzip
import json
import os
import re
import sqlite3
import subprocess
import sys
from collections import Counter
from contextlib import closing
from pathlib import Path

import pytest

from tests.postgres import NoPostgres, programs, throwaway

FOLDER = Path(__file__).parent
ROOT = FOLDER.parent.parent
VERSIONS = sorted(path.name.split(".")[0] for path in FOLDER.glob("*.sqlite3.gz"))
MIGRATE = "from django.core.management import call_command; call_command('migrate', verbosity=0)"
# One process for all: starting costs as much as what it does.
LOOK = """
import json, sys
from django.apps import apps
from django.core.management import call_command
models = apps.get_models(include_auto_created=True)
print(json.dumps({model._meta.db_table: model._base_manager.count() for model in models}))
call_command("check_lines", stdout=sys.stderr)
from django.conf import settings; settings.ALLOWED_HOSTS = ["testserver"]
from django.contrib.auth.models import User
from django.test import Client
client = Client(); client.force_login(User.objects.get(username="owner"))
pages = "/ /jobs/ /jobs/1/ /jobs/steps/1/ /orders/1/ /measuring/components/1/ /worksheets/1/ /planning/late/"
for address in pages.split():
    assert client.get(address).status_code == 200, address
"""


def run(environment: dict[str, str], *command: str) -> str:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("DJANGO", "PYTEST", "DATABASE"))}
    given = {**kept, "SHOP_LOCAL": "1", "DJANGO_SETTINGS_MODULE": "shop.settings", **environment}
    ran = subprocess.run([sys.executable, *command], cwd=ROOT, env=given, capture_output=True, text=True, timeout=300)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


def rows_in_sqlite(file: Path) -> dict[str, int]:
    with closing(sqlite3.connect(file)) as database:
        names = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: database.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}


def rows_in_dump(sql: str) -> dict[str, int]:
    return Counter(re.findall(r"^INSERT INTO public\.(\w+) VALUES", sql, re.MULTILINE))


def assert_nothing_is_lost(environment: dict[str, str], before: dict[str, int], first: str = "") -> None:
    """Compare every table's rows with those before, the lines' columns with their records; open the main pages."""
    words = f"import django; django.setup(); {first}\n{LOOK}"
    after: dict[str, int] = json.loads(run(environment, "-c", words))
    told_anew = {"django_content_type", "auth_permission", "django_migrations"}
    lost = {name: (count, after.get(name)) for name, count in before.items() if after.get(name, count) < count}
    assert {name: counts for name, counts in lost.items() if name not in told_anew} == {}


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.postgres
def test_a_kept_database_is_migrated_on_postgresql(version: str, tmp_path: Path) -> None:
    try:
        with throwaway() as url:
            sql = gzip.decompress((FOLDER / f"{version}.sql.gz").read_bytes())
            load = [str(programs() / "psql"), "--quiet", "--set=ON_ERROR_STOP=1", url]
            subprocess.run(load, input=sql, check=True, capture_output=True)
            given = {"SHOP_DATA": str(tmp_path), "DATABASE_URL": url}
            assert_nothing_is_lost(given, rows_in_dump(sql.decode()), first=MIGRATE)
    except NoPostgres as lack:
        pytest.fail(str(lack)) if os.environ.get("CI") == "true" else pytest.skip(str(lack))


def test_a_database_from_before_the_first_release_is_refused_in_words(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "shop.sqlite3")) as database:
        database.execute(
            "CREATE TABLE django_migrations (id integer PRIMARY KEY, app text, name text, applied datetime)"
        )
        row = ("cards", "0001_start", "2026-01-01")
        database.execute("INSERT INTO django_migrations (app, name, applied) VALUES (?, ?, ?)", row)
        database.commit()
    with pytest.raises(AssertionError, match="made by another version of the program .cards.0001_start."):
        run({"SHOP_DATA": str(tmp_path)}, "manage.py", "demo", "--no-serve")

"""A kept database is upgraded by one command, moved to PostgreSQL and back; nothing is lost on the way."""

import gzip
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest

from shop.copies import rows
from shop.copies.bring_back import bring_back
from shop.copies.make import make_copy
from shop.copies.move import Moved, move
from shop.copies.refusals import CopyRefused
from shop.copies.rehearse import rehearse
from shop.copies.site import Site
from tests.factories.orders import PDF
from tests.postgres import NoPostgres, throwaway
from tests.upgrade.test_upgrade import FOLDER, VERSIONS, assert_nothing_is_lost, rows_in_sqlite

ROOT = Path(__file__).parents[2]
DOCUMENT = "orders/fdbab880fbae7b487851e1c63939b97e.pdf"
NOW = datetime(2026, 11, 25, 2, 0, tzinfo=UTC)

pytestmark = pytest.mark.usefixtures("own_databases")


def shop_at(folder: Path, url: str = "") -> Site:
    return Site.at(url or f"sqlite:///{folder}/shop.sqlite3", folder)


# Drawing the models of all migrations takes longer than reading what they hold.
models_after = cache(rows.models_after)


def content(site: Site) -> dict[str, rows.Tally]:
    with site.connected() as connection:
        return rows.tallies(models_after(rows.applied(connection)), connection)


@pytest.fixture
def postgres() -> Iterator[str]:
    try:
        with throwaway() as url:
            yield url
    except NoPostgres as lack:
        pytest.fail(str(lack)) if os.environ.get("CI") == "true" else pytest.skip(str(lack))


def upgraded(folder: Path, copies: Path, **environment: str) -> str:
    """What the command says, run as a person runs it."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("DJANGO", "PYTEST", "DATABASE"))}
    given = {**kept, "SHOP_LOCAL": "1", "SHOP_DATA": str(folder), **environment}
    command = [sys.executable, "manage.py", "upgrade", "--into", str(copies)]
    ran = subprocess.run(command, cwd=ROOT, env=given, capture_output=True, text=True, timeout=600)
    return " ".join((ran.stdout + ran.stderr).split())


@pytest.fixture(scope="module", params=VERSIONS)
def kept(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a shop of a kept version that the command has upgraded, whole."""
    folder = tmp_path_factory.mktemp("upgraded")
    site = shop_at(folder)
    (site.files / "orders").mkdir(parents=True)
    (site.files / DOCUMENT).write_bytes(PDF)
    site.sqlite_file.write_bytes(gzip.decompress((FOLDER / f"{request.param}.sqlite3.gz").read_bytes()))
    rows_at_first = rows_in_sqlite(site.sqlite_file)
    assert rows_at_first["jobs_job"] >= 1
    assert "changes made, no row lost" in upgraded(folder, folder / "copies")
    assert_nothing_is_lost({"SHOP_DATA": str(folder)}, rows_at_first)
    return folder


def test_an_upgrade_keeps_every_row_and_a_bad_one_goes_back(kept: Path, tmp_path: Path) -> None:
    site = shop_at(kept)
    before = content(site)
    losing = upgraded(kept, tmp_path / "copies", DJANGO_SETTINGS_MODULE="tests.upgrade.losing_settings")
    assert "rows are gone from auth_user_groups" in losing
    assert "The database is again as it was" in losing
    assert content(site) == before


def compared(moved: Moved, source: Site, target: Site) -> None:
    assert moved.tables == content(source) == content(target)
    assert (target.files / DOCUMENT).read_bytes() == PDF
    assert moved.missing == ()


@pytest.mark.postgres
def test_a_move_to_postgresql_and_back_is_equal(kept: Path, tmp_path: Path, postgres: str) -> None:
    here, there, back = shop_at(kept), shop_at(tmp_path / "there", postgres), shop_at(tmp_path / "back")
    compared(move(here, there), here, there)
    with pytest.raises(CopyRefused, match="not empty"):
        move(here, there)

    copy = make_copy(there, tmp_path / "copies", now=NOW).path
    before = content(there)
    assert rehearse(there, copy, now=NOW).failure == ""
    assert bring_back(there, copy, now=NOW, set_aside=True).set_aside[0].startswith("set_aside_2026")
    with there.connected() as connection, connection.cursor() as cursor:
        cursor.execute("INSERT INTO auth_group (name) VALUES ('later') RETURNING id")
        assert cursor.fetchone()[0] > 1000
        cursor.execute("DELETE FROM auth_group WHERE name = 'later'")
    assert content(there) == before

    compared(move(there, back), there, back)
    assert content(back) == content(here)
    with closing(sqlite3.connect(back.sqlite_file)) as database:
        numbers = dict(database.execute("SELECT name, seq FROM sqlite_sequence"))
    assert numbers["auth_group"] > 1000

"""A small shop of its own in a folder: the database of tests/upgrade, with the file that its records name."""

import gzip
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shop.copies.make import make_copy
from shop.copies.site import Site
from tests.factories.orders import PDF

KEPT = Path(__file__).parents[2] / "upgrade" / "start.sqlite3.gz"
DOCUMENT = "orders/fdbab880fbae7b487851e1c63939b97e.pdf"
NOW = datetime(2026, 11, 25, 2, 0, tzinfo=UTC)


def shop_at(folder: Path) -> Site:
    """An empty folder as a site on SQLite."""
    return Site.at(f"sqlite:///{folder}/shop.sqlite3", folder)


@pytest.fixture(autouse=True)
def databases_of_the_test(own_databases: None) -> None:
    """Copies tell versions apart by their migrations."""


@pytest.fixture
def site(tmp_path: Path) -> Site:
    there = shop_at(tmp_path / "shop")
    (there.files / "orders").mkdir(parents=True)
    there.sqlite_file.write_bytes(gzip.decompress(KEPT.read_bytes()))
    (there.files / DOCUMENT).write_bytes(PDF)
    return there


@pytest.fixture
def elsewhere(tmp_path: Path) -> Site:
    return shop_at(tmp_path / "elsewhere")


@pytest.fixture
def copy(site: Site, tmp_path: Path) -> Path:
    return make_copy(site, tmp_path / "copies", now=NOW).path


def left_in(folder: Path) -> set[str]:
    """The names of everything in a folder, however deep."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")} if folder.exists() else set()

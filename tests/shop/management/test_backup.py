"""A copy is made while people work, is whole, and comes back."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from shop.management import copies
from specs.models import Component

ROOT = Path(__file__).parent.parent.parent.parent
PROGRAM = "from django.conf import settings; import django; django.setup(); from specs.models import Component; "


@pytest.fixture(autouse=True)
def files(settings: object, tmp_path: Path) -> Path:
    folder = tmp_path / "files"
    (folder / "letters").mkdir(parents=True)
    (folder / "letters" / "one.txt").write_text("as sent")
    settings.MEDIA_ROOT = folder  # type: ignore[attr-defined]
    return folder


@pytest.fixture
def box(transactional_db: None) -> Component:
    return Component.objects.create(kind="gearbox", maker="Teskel", name="QZ-5 – Größe 3")


@pytest.fixture
def elsewhere(tmp_path: Path, transactional_db: None) -> Iterator[dict[str, str]]:
    """The environment of another machine: an empty folder, and on PostgreSQL an empty database."""
    chosen = {"SHOP_DATA": str(tmp_path / "elsewhere"), "SHOP_LOCAL": "1", "DJANGO_SETTINGS_MODULE": "shop.settings"}
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    if connection.vendor == "sqlite":
        yield {**kept, **chosen}
        return
    there = connection.settings_dict
    name = f"back_{uuid4().hex[:8]}"
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name}")
    yield {**kept, **chosen, "DATABASE_URL": f"postgres://{there['USER']}@{there['HOST']}:{there['PORT']}/{name}"}
    with connection.cursor() as cursor:
        cursor.execute(f"DROP DATABASE {name}")


def run(environment: dict[str, str], *command: str) -> str:
    ran = subprocess.run(
        [sys.executable, *command], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=100
    )
    return ran.stdout + ran.stderr


def test_a_copy_comes_back_on_another_machine(box: Component, elsewhere: dict[str, str], tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    call_command("backup", copy, verbosity=0)
    Component.objects.create(kind="gearbox", maker="Teskel", name="bought after the copy")
    assert "Brought back" in run(elsewhere, "manage.py", "restore", str(copy))
    names = run(elsewhere, "-c", PROGRAM + "print([str(one.name) for one in Component.objects.all()])")
    assert names.strip() == "['QZ-5 – Größe 3']"
    assert (Path(elsewhere["SHOP_DATA"]) / "files" / "letters" / "one.txt").read_text() == "as sent"


def test_nothing_is_brought_back_over_records(box: Component, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    call_command("backup", copy, verbosity=0)
    with pytest.raises(CommandError, match="not empty"):
        call_command("restore", copy)
    assert Component.objects.get().name == box.name


def test_a_folder_that_is_there_is_left_alone(box: Component, tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    with pytest.raises(CommandError, match="there already"):
        call_command("backup", tmp_path / "kept")


def test_a_folder_without_a_copy_is_told(db: None, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="holds no copy"):
        call_command("restore", tmp_path)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="SQLite only")
def test_a_broken_copy_is_never_taken_for_a_whole_one(
    box: Component, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(source: Path, target: Path) -> None:
        raise copies.CopyRefused("The copy is not whole")

    monkeypatch.setattr(copies, "_copy_sqlite", breaks)
    with pytest.raises(CommandError, match="not whole"):
        call_command("backup", tmp_path / "copy")
    assert not (tmp_path / "copy").exists()

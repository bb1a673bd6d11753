"""A change of rows in a migration names its database: copies and moves make tables beside the shop's."""

import inspect

import pytest
from django.db.migrations import RunPython
from django.db.migrations.loader import MigrationLoader


def steps() -> list[object]:
    found = MigrationLoader(None).disk_migrations
    ours = [one for (app, _), one in found.items() if type(one).__module__.startswith(("shop.", "specs."))]
    return [step.code for one in ours for step in one.operations if isinstance(step, RunPython)]


def test_every_change_of_rows_names_its_database() -> None:
    found = steps()
    assert found, "no migration changes rows any more: this test can go"
    assert [step for step in found if "schema_editor.connection.alias" not in inspect.getsource(step)] == []  # type: ignore[arg-type]


@pytest.fixture(autouse=True)
def _real(real_migrations: None) -> None:
    """With the migrations as they are."""

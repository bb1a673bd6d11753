"""A run of operations joined into one makes the tables that they make one after another, and takes them away again."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations import AddConstraint, AddField, AlterField, CreateModel, Migration, RunPython
from django.db.migrations.state import ProjectState
from django.db.utils import ConnectionHandler

from specs.together import Together, together


def key() -> Any:
    return models.AutoField(primary_key=True)


OPERATIONS = [
    CreateModel("Rack", [("id", key()), ("label", models.CharField(max_length=10))]),
    CreateModel("Bin", [("id", key()), ("rack", models.ForeignKey("specs.Rack", models.PROTECT))]),
    AddField("Bin", "width", models.FloatField(default=0.3)),
    AddField("Bin", "depth", models.FloatField(default=0.4)),
    AlterField("Rack", "label", models.TextField(null=True)),
    AddConstraint("Bin", models.CheckConstraint(condition=models.Q(width__gt=0), name="bin_has_width")),
]


@pytest.fixture
def database(tmp_path: Path, django_db_blocker: Any) -> Iterator[BaseDatabaseWrapper]:
    """Yield a database with no table in it."""
    as_the_shop_demands = {"init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL"}
    file = {"NAME": str(tmp_path / "empty.sqlite3"), "OPTIONS": as_the_shop_demands}
    with django_db_blocker.unblock():
        connection = ConnectionHandler({"default": {"ENGINE": "django.db.backends.sqlite3", **file}})["default"]
        yield connection
        connection.close()


def tables(database: BaseDatabaseWrapper) -> list[str]:
    with database.cursor() as cursor:
        cursor.execute("SELECT sql FROM sqlite_master WHERE name LIKE 'specs%%'")
        return sorted(row[0] for row in cursor.fetchall())


def there_and_back(database: BaseDatabaseWrapper, operations: Iterable[Any]) -> tuple[list[str], ProjectState]:
    """Run the operations, and take them back; return what stood between."""
    migration = Migration("0001_start", "specs")
    migration.operations = list(operations)
    state = ProjectState()
    assert state.apps
    with database.schema_editor() as editor:
        state = migration.apply(state, editor)
    made = tables(database)
    with database.schema_editor() as editor:
        migration.unapply(ProjectState(), editor)
    assert tables(database) == []
    return made, state


def test_a_joined_run_makes_the_tables_and_the_state_of_its_parts(database: BaseDatabaseWrapper) -> None:
    singly, parts = there_and_back(database, OPERATIONS)
    joined, whole = there_and_back(database, together(OPERATIONS))
    assert joined == singly
    assert any("bin_has_width" in table for table in joined)
    assert whole.models == parts.models
    drawn = whole.apps.get_model("specs", "Bin")._meta.get_field("rack").related_model
    assert drawn is whole.apps.get_model("specs", "Rack")


def test_a_model_that_is_only_pointed_to_leads_back_to_the_last_drawing(database: BaseDatabaseWrapper) -> None:
    _, state = there_and_back(database, [*together(OPERATIONS[:2]), *together(OPERATIONS[2:4])])
    rack, bin_ = state.apps.get_model("specs", "Rack"), state.apps.get_model("specs", "Bin")
    assert rack.bin_set.rel.related_model is bin_
    assert bin_._meta.get_field("rack").related_model is rack
    assert [field.name for field in bin_._meta.get_fields()] == ["id", "rack", "width", "depth"]


def test_who_points_to_a_changed_model_or_is_built_on_it_is_drawn_again(database: BaseDatabaseWrapper) -> None:
    built = CreateModel("WideBin", [], bases=("specs.Bin",), options={"proxy": True})
    widened = [*OPERATIONS[:2], built, AlterField("Rack", "label", models.TextField(null=True))]
    _, state = there_and_back(database, [*together(widened[:3]), *together(widened[3:])])
    rack, bin_ = state.apps.get_model("specs", "Rack"), state.apps.get_model("specs", "Bin")
    assert bin_._meta.get_field("rack").related_model is rack
    assert issubclass(state.apps.get_model("specs", "WideBin"), bin_)


def test_a_step_in_code_parts_two_runs() -> None:
    code = RunPython(RunPython.noop)
    first, between, last = together([*OPERATIONS[:2], code, *OPERATIONS[2:]])
    assert between is code
    assert isinstance(first, Together)
    assert isinstance(last, Together)
    assert [*first.operations, *last.operations] == OPERATIONS

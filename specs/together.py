"""Changes of many tables in one step of a migration.

After every operation Django draws anew each model that is tied to the changed one: here nearly all, a tenth of a second
each time. A run of operations needs that once; between them only the changed model is drawn.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import AddConstraint, AddField, AddIndex, AlterField, CreateModel, RemoveConstraint
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

JOINED = (CreateModel, AddField, AlterField, AddIndex, AddConstraint, RemoveConstraint)


class Together(Operation):
    """Does a run of operations as one; ends in the state and the tables that they make one after another.

    Each must have a way back, and leave alone the columns that foreign keys of other tables point to: those tables are
    not drawn between them.
    """

    def __init__(self, operations: list[Operation]) -> None:
        self.operations = operations

    def describe(self) -> str:
        return "; ".join(operation.describe() for operation in self.operations)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        drawn = state.__dict__.pop("apps", None)
        for operation in self.operations:
            operation.state_forwards(app_label, state)
        if drawn is not None:
            state.apps = drawn
            names = {changed(operation) for operation in self.operations}
            state.reload_models([(app_label, name) for name in names], delay=False)

    def database_forwards(
        self, app_label: str, schema_editor: BaseDatabaseSchemaEditor, from_state: ProjectState, to_state: ProjectState
    ) -> None:
        for operation, before, after in self._steps(app_label, from_state):
            operation.database_forwards(app_label, schema_editor, before, after)

    def database_backwards(
        self, app_label: str, schema_editor: BaseDatabaseSchemaEditor, from_state: ProjectState, to_state: ProjectState
    ) -> None:
        for operation, before, after in reversed(list(self._steps(app_label, to_state))):
            operation.database_backwards(app_label, schema_editor, after, before)

    def _steps(self, app_label: str, before: ProjectState) -> Iterator[tuple[Operation, ProjectState, ProjectState]]:
        """Yield each operation with the state before and after it."""
        for operation in self.operations:
            after = before.clone()
            drawn = after.apps
            del after.apps
            operation.state_forwards(app_label, after)
            drawn.unregister_model(app_label, changed(operation))
            drawn.render_multiple([after.models[app_label, changed(operation)]])
            after.apps = drawn
            yield operation, before, after
            before = after


def changed(operation: Operation) -> str:
    """Name the model that an operation creates or changes."""
    name: str = getattr(operation, "model_name", "") or getattr(operation, "name", "")
    return name.lower()


def together(operations: Iterable[Operation]) -> list[Operation]:
    """Join each run of operations that may be done as one; keep the order."""
    runs = [(joined, list(run)) for joined, run in groupby(operations, lambda one: isinstance(one, JOINED))]
    return [one for joined, run in runs for one in ([Together(run)] if joined and len(run) > 1 else run)]

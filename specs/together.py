"""Changes of many tables in one step of a migration.

After every operation Django draws anew each model that is tied to the changed one, however far: here nearly all, a
third of a second each time. A run of operations draws once, and only who points to a changed model; between its
operations the changed model alone.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import AddConstraint, AddField, AddIndex, AlterField, CreateModel, RemoveConstraint
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

Key = tuple[str, str]
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
            self._draw(app_label, state)

    def database_forwards(
        self, app_label: str, schema_editor: BaseDatabaseSchemaEditor, from_state: ProjectState, to_state: ProjectState
    ) -> None:
        for operation, before, after in self._steps(app_label, from_state):
            operation.database_forwards(app_label, schema_editor, before, after)
        # The models drawn between the operations have put their own way back on models that both states share.
        self._draw(app_label, to_state)

    def database_backwards(
        self, app_label: str, schema_editor: BaseDatabaseSchemaEditor, from_state: ProjectState, to_state: ProjectState
    ) -> None:
        for operation, before, after in reversed(list(self._steps(app_label, to_state))):
            operation.database_backwards(app_label, schema_editor, after, before)

    def _steps(self, app_label: str, before: ProjectState) -> Iterator[tuple[Operation, ProjectState, ProjectState]]:
        """Yield each operation with the state before and after it."""
        for operation in self.operations:
            key = (app_label, changed(operation))
            after = _copied(before, key)
            operation.state_forwards(app_label, after)
            after.apps = before.apps.clone()
            _draw(after, [key])
            yield operation, before, after
            before = after

    def _draw(self, app_label: str, state: ProjectState) -> None:
        """Draw the changed models anew, and all that point to them."""
        _draw(state, _pointing_to({(app_label, changed(operation)) for operation in self.operations}, state))


def _copied(state: ProjectState, key: Key) -> ProjectState:
    """Copy a state of which one model will be changed; the others are shared."""
    models = dict(state.models)
    if key in models:
        models[key] = models[key].clone()
    return ProjectState(models, state.real_apps)


def _draw(state: ProjectState, keys: Iterable[Key]) -> None:
    """Draw these models anew, as far as the state has them."""
    drawn = [key for key in keys if key in state.models]
    with state.apps.bulk_update():
        for key in keys:
            state.apps.unregister_model(*key)
    state.apps.render_multiple([state.models[key] for key in drawn])


def _pointing_to(keys: set[Key], state: ProjectState) -> set[Key]:
    """The models of these names, whoever points to one of them or is built on it, and so on."""
    found, asked = set(keys), list(keys)
    while asked:
        key = asked.pop()
        tied = {*state.relations.get(key, ()), *_built_on(key, state)} - found
        found |= tied
        asked += tied
    return found


def _built_on(key: Key, state: ProjectState) -> set[Key]:
    """The models that have this one as a base."""
    name = ".".join(key)
    return {
        other
        for other, model in state.models.items()
        if any(isinstance(base, str) and base.lower() == name for base in model.bases)
    }


def changed(operation: Operation) -> str:
    """Name the model that an operation creates or changes."""
    name: str = getattr(operation, "model_name", "") or getattr(operation, "name", "")
    return name.lower()


def together(operations: Iterable[Operation]) -> list[Operation]:
    """Join each run of operations that may be done as one, a run of one as well; keep the order."""
    runs = [(joined, list(run)) for joined, run in groupby(operations, lambda one: isinstance(one, JOINED))]
    return [one for joined, run in runs for one in ([Together(run)] if joined else run)]

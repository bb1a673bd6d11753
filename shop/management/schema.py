"""The database's tables: made, and whether they are those of this program, told in words before anything is read."""

from importlib.util import find_spec
from pkgutil import iter_modules

from django.apps import apps
from django.core.management import call_command
from django.core.management.sql import emit_post_migrate_signal
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.utils.translation import gettext


class SchemaRefused(Exception):
    """The database does not fit this program; the message says why, and what to do."""


def refuse_other_schema(*, may_be_behind: bool = False) -> None:
    """Raise SchemaRefused for a database of another version: ahead of the program, from before its first, or behind.

    may_be_behind: whoever migrates right afterwards takes a database that is behind, or empty.
    """
    applied, known = MigrationRecorder(connection).applied_migrations(), known_migrations()
    unknown = sorted(key for key in applied if key not in known)
    if unknown:
        named = ", ".join(".".join(key) for key in unknown[:3])
        raise SchemaRefused(
            gettext(
                "This database was made by another version of the program ({named}): by a newer one, or by one from "
                "before the first release. Start the version that made it, or point SHOP_DATA at an empty folder."
            ).format(named=named)
        )
    missing = len(known - applied.keys())
    if missing and not may_be_behind:
        way = gettext("manage.py upgrade, which copies it first") if applied else gettext("manage.py migrate")
        raise SchemaRefused(
            gettext("This database lacks {missing} changes of this version. Run: {way}.").format(
                missing=missing, way=way
            )
        )


def known_migrations() -> set[tuple[str, str]]:
    """The migrations of this program, by app and name, none of them read: that takes a fifth of the time of a start."""
    found: set[tuple[str, str]] = set()
    for app in apps.get_app_configs():
        module, _ = MigrationLoader.migrations_module(app.label)
        if module and (folder := find_spec(module)):
            names = [one.name for one in iter_modules(folder.submodule_search_locations) if not one.ispkg]
            found |= {(app.label, name) for name in names if name[0] not in "_~"}
    return found


def prepare_tables() -> None:
    """Migrate; an empty database gets its tables straight from the models, every migration recorded as done.

    Migrating from nothing takes half a minute, nearly all of it Django's drawing its models anew after each operation.
    `tests/shop/management/test_schema.py` holds both ways to the same tables.
    """
    if connection.introspection.table_names():
        call_command("migrate", verbosity=0, interactive=False)
        return
    with connection.schema_editor() as editor:
        for model in apps.get_models():
            if model._meta.can_migrate(connection):
                editor.create_model(model)
    recorder = MigrationRecorder(connection)
    recorder.ensure_schema()
    for app, name in sorted(known_migrations()):
        recorder.record_applied(app, name)
    emit_post_migrate_signal(verbosity=0, interactive=False, db=connection.alias)

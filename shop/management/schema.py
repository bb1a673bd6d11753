"""Whether the database's tables are those of this program: told in words before anything is read from them."""

from django.db import connection
from django.db.migrations.loader import MigrationLoader


class SchemaRefused(Exception):
    """The database does not fit this program; the message says why, and what to do."""


def refuse_other_schema(*, may_be_behind: bool = False) -> None:
    """Raise SchemaRefused for a database of another version: ahead of the program, from before its first, or behind.

    may_be_behind: whoever migrates right afterwards takes a database that is behind, or empty.
    """
    loader = MigrationLoader(connection, ignore_no_migrations=True)
    unknown = sorted(key for key in loader.applied_migrations or () if key not in loader.disk_migrations)
    if unknown:
        named = ", ".join(".".join(key) for key in unknown[:3])
        raise SchemaRefused(
            f"This database was made by another version of the program ({named}): by a newer one, or by one from "
            "before the first release. Start the version that made it, or point SHOP_DATA at an empty folder."
        )
    missing = sum(key not in (loader.applied_migrations or ()) for key in loader.disk_migrations)
    if missing and not may_be_behind:
        raise SchemaRefused(f"This database lacks {missing} changes of this version. Copy it, then: manage.py migrate")

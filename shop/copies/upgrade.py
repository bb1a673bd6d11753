"""Another version of the program: copy, migrate, look, or back to what was there."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.core.management import call_command
from django.db import connections
from django.utils.translation import gettext

from shop.copies import postgres, rows, sqlite
from shop.copies.bring_back import put_back
from shop.copies.make import KEEP, make_copy
from shop.copies.manifest import Manifest, Migration
from shop.copies.names import alone_in
from shop.copies.refusals import CopyRefused
from shop.copies.rehearse import prove
from shop.copies.site import SQLITE, Site

# Django writes these anew from the models after each migration.
TOLD_ANEW = {"django_content_type", "auth_permission", "django_migrations"}


@dataclass(frozen=True)
class Upgraded:
    """The copy made before, proven, and the changes that the database took after it."""

    copy: Path
    changes: tuple[Migration, ...]


def upgrade(site: Site, into: Path, *, now: datetime, keep: int = KEEP) -> Upgraded:
    """Copy, prove the copy, migrate, and look; go back to the copy where anything failed.

    Raises CopyRefused, with the database as it was before: either nothing was begun, or all of it was taken back.
    """
    with alone_in(site.data):
        refuse_running(site)
        copy = make_copy(site, into, now=now, keep=keep).path
        before = prove(site, copy, now=now)
        changes = tuple(sorted(rows.known_migrations() - set(before.migrations)))
        try:
            _migrate(site)
            _refuse_loss(site, before)
        except BaseException as failed:
            kept = put_back(site, copy, now=now, set_aside=True, key=None, above=0).set_aside
            raise CopyRefused(
                gettext(
                    "The upgrade failed and was taken back: {words}. The database is again as it was; what "
                    "failed is kept as {kept}. Start the former version of the program."
                ).format(words=_words(failed), kept=" and ".join(kept))
            ) from failed
    return Upgraded(copy, changes)


def _words(failed: BaseException) -> str:
    return f"{type(failed).__name__}: {' '.join(str(failed).split())[:300]}".rstrip(". ")


def refuse_running(site: Site) -> None:
    """Raise CopyRefused while anybody else has the database open."""
    if site == Site.of_settings():
        connections["default"].close()  # this command's own
    if site.kind == SQLITE:
        sqlite.refuse_in_use(site.sqlite_file)
    elif postgres.others_connected(site):
        raise CopyRefused(
            gettext("The site, or somebody else, is still connected to this database. Stop it, then try again.")
        )


def _migrate(site: Site) -> None:
    if site == Site.of_settings():
        # Under its own name: a step that names no connection would otherwise wait for a lock of this very command.
        call_command("migrate", interactive=False, verbosity=0)
        connections["default"].close()
        return
    with site.connected() as connection:
        call_command("migrate", database=connection.alias, interactive=False, verbosity=0)


def _refuse_loss(site: Site, before: Manifest) -> None:
    """Raise CopyRefused where a change is missing, a record is loose, or a table holds fewer rows than it did."""
    after, done = _rows(site)
    if lacking := rows.known_migrations() - done:
        raise CopyRefused(gettext("{lacking} changes were not made").format(lacking=len(lacking)))
    lost: Sequence[str] = [
        name for name, count in before.rows.items() if name not in TOLD_ANEW and after.get(name, 0) < count
    ]
    if lost:
        raise CopyRefused(gettext("rows are gone from {sorted}").format(sorted=", ".join(sorted(lost))))


def _rows(site: Site) -> tuple[dict[str, int], set[Migration]]:
    if site.kind == SQLITE:
        sqlite.refuse_damaged(site.sqlite_file)
        return sqlite.rows(site.sqlite_file), set(sqlite.migrations(site.sqlite_file))
    with postgres.one_moment(site) as connection:
        done = rows.applied(connection)
        tallies = rows.tallies(rows.models_after(done), connection)
        return {name: tally.count for name, tally in tallies.items()}, set(done)

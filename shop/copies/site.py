"""Where a shop's data live: its database, its files, and the folder that holds what belongs to this box."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

import dj_database_url
from django.conf import settings
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

_names = count(1)
SQLITE, POSTGRES = "sqlite", "postgresql"


@dataclass(frozen=True)
class Site:
    """A shop's data: the settings of its database, its folder of files, its data folder."""

    database: dict[str, Any]
    data: Path
    files: Path

    @classmethod
    def of_settings(cls) -> Site:
        return cls(dict(settings.DATABASES["default"]), Path(settings.DATA_DIR), Path(settings.MEDIA_ROOT))

    @classmethod
    def at(cls, url: str, data: Path) -> Site:
        """The shop whose database an address names, as DATABASE_URL does, and whose files are in a folder."""
        chosen: dict[str, Any] = dict(dj_database_url.parse(url))
        if "sqlite3" in chosen["ENGINE"]:
            chosen["OPTIONS"] = settings.SQLITE_OPTIONS
        return cls(chosen, data, data / "files")

    @property
    def kind(self) -> str:
        return SQLITE if "sqlite3" in self.database["ENGINE"] else POSTGRES

    @property
    def sqlite_file(self) -> Path:
        return Path(self.database["NAME"])

    @contextmanager
    def connected(self, **changes: Any) -> Iterator[BaseDatabaseWrapper]:
        """A connection of its own, which sees neither the transaction nor the search path of any other."""
        alias = f"copies_{next(_names)}"
        complete = connections.configure_settings({"default": {**self.database, **changes}})["default"]
        connections.databases[alias] = complete
        try:
            yield connections[alias]
        finally:
            connections[alias].close()
            del connections[alias]
            del connections.databases[alias]


def owned_like(folder: Path, path: Path) -> None:
    """Give what root wrote to the owner of the folder, so that the site, which is not root, can use it."""
    if os.geteuid() == 0:
        owner = folder.stat()
        for one in (path, *path.rglob("*")) if path.is_dir() else (path,):
            os.chown(one, owner.st_uid, owner.st_gid, follow_symlinks=False)

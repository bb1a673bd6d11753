"""What a copy says of itself: when it was made, by which version, every file with its SHA-256, every table's rows."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import PurePosixPath
from typing import Any

from django.utils.translation import gettext

from shop.copies.refusals import CopyRefused

FORMAT = 1
FILES = "files/"
DATABASE = "shop.sqlite3"
ROWS = "rows/"
Migration = tuple[str, str]


@dataclass(frozen=True)
class FileMark:
    """A file's size in bytes and the SHA-256 of its content, as hexadecimal digits."""

    size: int
    sha256: str


@dataclass(frozen=True)
class Manifest:
    """The facts of one copy.

    `kind` is the kind of database; `rows` counts each table; `missing` are the files that records name but that were
    not on the disk already when the copy was made; `numbers` the last number each table gave; `restores` how often
    data were brought back before.
    """

    made_at: datetime
    kind: str
    migrations: tuple[Migration, ...]
    rows: dict[str, int]
    files: dict[str, FileMark]
    missing: tuple[str, ...] = ()
    numbers: dict[str, int] | None = None
    restores: int = 0

    def to_json(self) -> bytes:
        content = {"format": FORMAT, **asdict(self), "made_at": self.made_at.isoformat()}
        return json.dumps(content, indent=1, sort_keys=True).encode()

    @classmethod
    def from_json(cls, text: bytes) -> Manifest:
        """Raises CopyRefused for anything that this version did not write."""
        try:
            return cls._from_dict(json.loads(text))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            raise CopyRefused(gettext("The copy's manifest cannot be read.")) from None

    @classmethod
    def _from_dict(cls, said: dict[str, Any]) -> Manifest:
        if said["format"] != FORMAT:
            raise CopyRefused(
                gettext("This copy has format {said}; this version of the program reads {FORMAT}.").format(
                    said=said["format"], FORMAT=FORMAT
                )
            )
        made_at = datetime.fromisoformat(said["made_at"])
        if made_at.tzinfo is None:
            raise ValueError
        return cls(
            made_at=made_at,
            kind=said["kind"],
            migrations=tuple((str(app), str(name)) for app, name in said["migrations"]),
            rows={str(table): _count(number) for table, number in said["rows"].items()},
            files={
                _safe(name): FileMark(_count(one["size"]), _digest(one["sha256"]))
                for name, one in said["files"].items()
            },
            missing=tuple(str(name) for name in said["missing"]),
            numbers={str(table): _count(number) for table, number in (said["numbers"] or {}).items()},
            restores=_count(said["restores"]),
        )

    @property
    def size(self) -> int:
        """Bytes of all files."""
        return sum(one.size for one in self.files.values())

    @property
    def attachments(self) -> int:
        """How many files of the shop's own it holds, beside the database."""
        return sum(name.startswith(FILES) for name in self.files)

    def refuse_missing_files(self, named: set[str]) -> None:
        """Raise CopyRefused where records name files that the copy neither holds nor says were missing already."""
        lacking = {name for name in named if f"{FILES}{name}" not in self.files} - set(self.missing)
        if lacking:
            raise CopyRefused(
                gettext("{lacking} files that its records name are missing, {min} among them.").format(
                    lacking=len(lacking), min=min(lacking)
                )
            )


def _count(number: Any) -> int:
    if isinstance(number, bool) or not isinstance(number, int) or number < 0:
        raise ValueError
    return number


def _digest(text: Any) -> str:
    if not re.fullmatch(r"[0-9a-f]{64}", text):
        raise ValueError
    return str(text)


def _safe(name: str) -> str:
    """A name that can only lead into the folder that the copy is unpacked into."""
    parts = name.split("/")
    plain = all(part not in ("", ".", "..") for part in parts) and name.isprintable() and "\\" not in name
    ours = name == DATABASE or name.startswith(FILES) or (name.startswith(ROWS) and len(parts) == 2)
    if not (plain and ours and not PurePosixPath(name).is_absolute()):
        raise CopyRefused(
            gettext("The copy holds a file of a name that no copy has: {name}.").format(name=f"{name[:80]!r}")
        )
    return name

"""Files on the disk before their record is: without it a paper that was acknowledged is gone after a power cut."""

import os
from pathlib import Path
from typing import Any

from django.core.files.storage import FileSystemStorage


class SyncedStorage(FileSystemStorage):
    """Keeps files in a folder; a file and its name are on the disk when `save` returns."""

    def _save(self, name: str, content: Any) -> str:
        before = Path(self.path(name)).exists()
        try:
            kept = super()._save(name, content)  # type: ignore[misc]
            place, top = Path(self.path(kept)), Path(self.location).parent
            for path in (place, *(one for one in place.parents if one.is_relative_to(top))):
                _sync(path)
        except OSError:  # a full disk: half a file serves nobody
            if not before:
                Path(self.path(name)).unlink(missing_ok=True)
            raise
        return str(kept)


def _sync(path: Path) -> None:
    held = os.open(path, os.O_RDONLY)
    try:
        os.fsync(held)
    finally:
        os.close(held)

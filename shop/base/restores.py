"""How often the shop's data was brought back from a copy: kept beside the database, which knows nothing of it.

What was printed after the copy was made is out in the shop, and gone from the database: numbers go on above it.
"""

from __future__ import annotations

import os
from pathlib import Path

from django.conf import settings

NAME = "restores"
# More sheets of one record than anybody prints between two copies.
STEP = 100


def restores(folder: Path | None = None) -> int:
    """Return how often data were brought back into a folder, the shop's own where none is named."""
    kept = (folder or settings.DATA_DIR) / NAME
    return int(kept.read_text()) if kept.exists() else 0


def keep_count(count: int, folder: Path) -> None:
    """Keep how often data were brought back into a folder, on the disk before anything is printed."""
    folder.mkdir(parents=True, exist_ok=True)
    unfinished = folder / f"{NAME}.new"
    with unfinished.open("w") as file:
        file.write(str(count))
        file.flush()
        os.fsync(file.fileno())
    unfinished.replace(folder / NAME)


def number_after_restores(count: int) -> int:
    """Return the number of the next of `count` things, above every one that a restore may have lost."""
    return count + 1 + STEP * restores()

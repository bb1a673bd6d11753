"""How often the shop's data was brought back from a copy: kept beside the database, which knows nothing of it.

What was printed after the copy was made is out in the shop, and gone from the database: numbers go on above it.
"""

from __future__ import annotations

from pathlib import Path

from django.conf import settings

NAME = "restores"
# More sheets of one record than anybody prints between two copies.
STEP = 100


def restores(folder: Path | None = None) -> int:
    """Return how often data were brought back into a folder, the shop's own where none is named."""
    kept = (folder or settings.DATA_DIR) / NAME
    return int(kept.read_text()) if kept.exists() else 0


def count_restore(copy: Path) -> None:
    """Count one restore more than the copy knows of, and than this folder does."""
    settings.DATA_DIR.mkdir(parents=True, exist_ok=True)
    (settings.DATA_DIR / NAME).write_text(str(max(restores(copy), restores()) + 1))


def number_after_restores(count: int) -> int:
    """Return the number of the next of `count` things, above every one that a restore may have lost."""
    return count + 1 + STEP * restores()

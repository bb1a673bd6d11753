"""The demo for whoever tests it: made once of this program and this day by its own command, then copied.

``python -m tests.demo`` makes it where it is not there yet; CI does so before its tests.
"""

import fcntl
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / ".pytest_cache" / "demo"
A_DAY = 24 * 60 * 60


def demo_file() -> Path:
    """A SQLite database with the demo as this program makes it today. Copy it: it is everybody's."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    made = FOLDER / f"{_key()}.sqlite3"
    with (FOLDER / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            _forget_old()
            _make(made)
    return made


def _key() -> str:
    """What the demo follows from: the program, the day and the settings."""
    told = sha256(f"{sys.version} {datetime.now(UTC).date()}".encode())
    for path in sorted(_sources()):
        told.update(f"{path} {path.stat().st_size} ".encode() + path.read_bytes())
    for name, value in sorted(os.environ.items()):
        if name.startswith("SHOP_") and name not in ("SHOP_DATA", "SHOP_LOCAL", "SHOP_SHOTS", "SHOP_WALK"):
            told.update(f"{name}={value} ".encode())
    return told.hexdigest()[:24]


def _sources() -> Iterator[Path]:
    for folder in ("shop", "specs"):
        for ending in ("py", "csv", "toml"):
            yield from (ROOT / folder).rglob(f"*.{ending}")


def _forget_old() -> None:
    for path in FOLDER.glob("*.sqlite3"):
        if time.time() - path.stat().st_mtime > A_DAY:
            path.unlink()


def _make(made: Path) -> None:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("DJANGO", "PYTEST", "DATABASE"))}
    strict = [f"-W{choice}" for choice in sys.warnoptions]
    with tempfile.TemporaryDirectory(dir=FOLDER) as folder:
        command = [sys.executable, *strict, "manage.py", "demo", "--no-serve"]
        given = {**kept, "SHOP_LOCAL": "1", "SHOP_DATA": folder}
        ran = subprocess.run(command, cwd=ROOT, env=given, capture_output=True, text=True, timeout=1200)
        assert ran.returncode == 0, ran.stdout + ran.stderr
        file = Path(folder) / "shop.sqlite3"
        with closing(sqlite3.connect(file)) as database:
            database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        shutil.move(file, made)


if __name__ == "__main__":
    print(f"The demo is in {demo_file().relative_to(ROOT)}.")

"""Records the running site once, cuts its power N times, and says what was lost."""

import os
import random
import shutil
import socket
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from tests.power_cut.disk import Disk
from tests.power_cut.trace import CALLS, LONGEST, Event, events

ROOT = Path(__file__).resolve().parents[2]
ANSWERS, DATABASE = "answers", "data/shop.sqlite3"
SETTINGS = {"DJANGO_SETTINGS_MODULE": "tests.settings", "SHOP_LOCAL": "1"}
FILL = """
import django; django.setup()
from shop.management.schema import prepare_tables
prepare_tables()
from tests.factories.people import make_person
from tests.factories.orders import make_order
from tests.power_cut.people import PASSWORD
make_person(username="owner", password=PASSWORD, roles=["owner"]); order = make_order(); assert order.pk == 1
"""


class NoTracer(Exception):
    """This machine has no strace, or does not let it trace."""


@dataclass
class Found:
    """What the cuts left: how many, how many answers were looked for, and every fault in words."""

    cuts: int = 0
    answers: int = 0
    files: int = 0
    faults: list[str] = field(default_factory=list)


def record(folder: Path, writes: int) -> tuple[Disk, list[Event]]:
    """Run the site under the tracer; return the disk as it was before, and all that happened to it."""
    if not shutil.which("strace"):
        raise NoTracer("strace is not on this machine")
    if subprocess.run(["strace", "-q", "-o", os.devnull, "true"], capture_output=True).returncode:
        raise NoTracer("this machine lets nobody trace")
    given = made_site(folder)
    (folder / ANSWERS).touch()
    before = Disk(folder)
    # By the filter (BPF) only the calls that are read stop the site.
    how = ["-f", "--seccomp-bpf", "-q", "-y", "-xx", "-e", "signal=none"]
    trace = ["strace", *how, "-e", f"trace={CALLS}", "-s", str(LONGEST)]
    people = [sys.executable, "-m", "tests.power_cut.people", str(folder), str(writes), str(free_port())]
    subprocess.run([*trace, "-o", str(folder / "trace"), *people], cwd=ROOT, env=given, check=True, timeout=3600)
    return before, list(events(folder / "trace", folder))


def made_site(folder: Path) -> dict[str, str]:
    """Make a site with one person and one order in FOLDER/data; return the environment that it runs in."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("DATABASE_URL", "PYTEST"))}
    given = {**kept, **SETTINGS, "SHOP_DATA": str(folder / "data"), "PYTHONDONTWRITEBYTECODE": "1"}
    subprocess.run([sys.executable, "-c", FILL], cwd=ROOT, env=given, check=True, timeout=600)
    with closing(sqlite3.connect(folder / DATABASE)) as database:
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return given


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


def cut(disk: Disk, happened: list[Event], number: int, seed: int) -> Found:
    """Cut the power at random moments of what happened, rebuild and look."""
    chance, found, told = random.Random(seed), Found(), ""
    moments = sorted(chance.sample(range(1, len(happened) + 1), min(number, len(happened))))
    at = 0
    for moment in moments:
        for event in happened[at:moment]:
            if event.name == ANSWERS:
                told += event.data.decode()
            elif event.name.startswith("data"):
                disk.take(event)
        at = moment
        look(disk.after_a_cut(chance), told.splitlines(), moment, found)
    return found


def look(files: dict[str, bytes], answers: list[str], moment: int, found: Found) -> None:
    """Open what is left and compare it with what people had been told."""
    with tempfile.TemporaryDirectory() as place:
        for ending in ("", "-wal"):
            if f"{DATABASE}{ending}" in files:
                (Path(place) / f"shop.sqlite3{ending}").write_bytes(files[f"{DATABASE}{ending}"])
        try:
            with closing(sqlite3.connect(Path(place) / "shop.sqlite3")) as database:
                faults = _faults(database, files, answers, found)
        except sqlite3.DatabaseError as broken:
            faults = [f"the database does not open: {broken}"]
    found.cuts += 1
    found.answers += len(answers)
    found.faults += [f"cut {moment}: {one}" for one in faults]


def _faults(database: sqlite3.Connection, files: dict[str, bytes], answers: list[str], found: Found) -> list[str]:
    whole = database.execute("PRAGMA integrity_check").fetchone()[0]
    faults = [] if whole == "ok" else [f"integrity: {whole}"]
    if database.execute("PRAGMA foreign_key_check").fetchone():
        faults.append("loose records")
    there = {f"component {name}" for (name,) in database.execute("SELECT name FROM specs_component")}
    papers = database.execute("SELECT note, file, digest FROM orders_document").fetchall()
    there |= {f"document {note}" for note, _, _ in papers}
    faults += [f"lost: {one}" for one in answers if one not in there]
    for note, file, digest in papers:
        content = files.get(f"data/files/{file}")
        found.files += 1
        if content is None or sha256(content).hexdigest() != digest:
            kept = "gone" if content is None else f"{len(content)} bytes of another content"
            faults.append(f"the file of document {note} is {kept}")
    return faults


def main(number: int, seed: int) -> Found:
    with tempfile.TemporaryDirectory(prefix="power-cut-") as folder:
        place = Path(folder).resolve()
        disk, happened = record(place, writes=max(24, number // 20))
        found = cut(disk, happened, number, seed)
    syncs = sum(one.verb == "sync" for one in happened)
    print(
        f"{len(happened)} events ({syncs} syncs), {found.cuts} cuts (seed {seed}), {found.answers} answers and "
        f"{found.files} files looked for, {len(found.faults)} faults"
    )
    return found


if __name__ == "__main__":
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else random.SystemRandom().randrange(2**32)
    faults = main(int(sys.argv[1]), seed).faults
    print("\n".join(faults[:40]))
    sys.exit(bool(faults))

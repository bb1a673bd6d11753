"""``python -m tests.copies_under_load N``: copies N times while people write, brings each back, and compares.

A copy is equal where what came back has every count and digest of its manifest, nothing is loose or damaged, and
nothing is missing that people had been told was kept before the copy was begun.
"""

import os
import sqlite3
import sys
import tempfile
import threading
import time
import zipfile
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from tests.power_cut.__main__ import ANSWERS, free_port, made_site
from tests.power_cut.people import at_work, served


def main(number: int) -> tuple[int, int, list[str]]:
    """Return how many copies were equal, how many answers people were given meanwhile, and the faults in words."""
    faults: list[str] = []
    with tempfile.TemporaryDirectory(prefix="under-load-") as place:
        folder, stop = Path(place).resolve(), threading.Event()
        with served(port := free_port(), made_site(folder)) as site, at_work(site, folder / ANSWERS, 10**9, stop):
            assert str(port) in site
            wait_for(folder / ANSWERS)
            try:
                for at in range(number):
                    faults += [f"copy {at}: {one}" for one in one_copy(folder)]
            finally:
                stop.set()
        answers = len((folder / ANSWERS).read_text().splitlines())
    return number - len({fault.partition(":")[0] for fault in faults}), answers, faults


def wait_for(answers: Path, seconds: float = 60) -> None:
    """Wait until people are at work: copies of an idle site would prove nothing."""
    until = time.monotonic() + seconds
    while not (answers.exists() and answers.read_text()) and time.monotonic() < until:
        time.sleep(0.1)


def one_copy(folder: Path) -> list[str]:
    """Make one copy and bring it back; the faults found."""
    from shop.copies.make import make_copy
    from shop.copies.refusals import CopyRefused
    from shop.copies.rehearse import rehearse
    from shop.copies.site import Site

    shop = Site.at(f"sqlite:///{folder}/data/shop.sqlite3", folder / "data")
    told = (folder / ANSWERS).read_text().splitlines() if (folder / ANSWERS).exists() else []
    try:
        copy = make_copy(shop, folder / "copies", now=datetime.now(UTC), keep=2).path
        rehearse(shop, copy, now=datetime.now(UTC))
        return lacking(copy, told)
    except CopyRefused as refused:
        return [str(refused)]


def lacking(copy: Path, told: list[str]) -> list[str]:
    """What was answered before the copy and is not in it."""
    with tempfile.TemporaryDirectory() as place, zipfile.ZipFile(copy) as packed:
        file, names = packed.extract("shop.sqlite3", place), set(packed.namelist())
        with closing(sqlite3.connect(file)) as database:
            there = {f"component {name}" for (name,) in database.execute("SELECT name FROM specs_component")}
            papers = database.execute("SELECT note, file FROM orders_document").fetchall()
    there |= {f"document {note}" for note, file in papers if f"files/{file}" in names}
    return [f"{one} is missing" for one in told if one not in there]


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    import django

    django.setup()
    equal, answers, faults = main(int(sys.argv[1]))
    print(f"{equal} of {sys.argv[1]} copies equal, while people were given {answers} answers")
    print("\n".join(faults[:40]))
    sys.exit(bool(faults))

"""Makes a small site, lets 20 people at it, compares, and prints one table; ends with 1 on any fault."""

import os
import secrets
import signal
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any

from tests.hammer.ledger import Act, File, Ledger, notes_of
from tests.hammer.lock import watched
from tests.hammer.people import HOST, Browser, Importers, Person, Site, all_at_once, bring_in
from tests.postgres import throwaway
from tests.power_cut.__main__ import free_port

ROOT = Path(__file__).resolve().parents[2]
SAVERS, IMPORTERS, SHARED, FILE_ORDERS, LARGE = 16, 4, 8, 300, 5000
COLLEAGUE_EVERY, ALONE = 0.2, 30
LONGEST_WAIT, LONGEST_BATCH = 1.0, 0.5
"""Of a colleague's save while 5,000 orders are brought in, and how long the write lock may be held meanwhile [s]."""


def main(seconds: float, kind: str) -> int:
    """Run it all; return the number of faults."""
    with tempfile.TemporaryDirectory(prefix="hammer-") as folder, _database(kind) as url:
        os.environ.update(_settings(folder, url))
        os.environ.pop("SHOP_LOCAL", None)
        import django

        django.setup()
        return _hammer(seconds, kind)


def _database(kind: str) -> Any:
    return throwaway() if kind == "postgres" else nullcontext("")


def _settings(folder: str, url: str) -> dict[str, str]:

    given = {"SHOP_DATA": folder, "SHOP_SECRET_KEY": secrets.token_urlsafe(50), "SHOP_HOSTS": HOST, "SHOP_HTTPS": "0"}
    return given | {
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "DATABASE_URL": url or f"sqlite:///{folder}/shop.sqlite3",
    }


def _hammer(seconds: float, kind: str) -> int:
    from tests.hammer.compare import faults_of

    ledger, port = Ledger(), free_port()
    site = made_site(port, ledger)
    people = list(site.sessions)
    with served(port):
        until = time.monotonic() + seconds
        importers = Importers(site, people[SAVERS:], ledger, FILE_ORDERS, until)
        savers = [Person(site, key, ledger) for key in people[:SAVERS]]
        jobs = [lambda person=person: person.work(until) for person in savers]
        all_at_once([*jobs, *importers.jobs()], ledger)
        figures = _told(ledger)
        figures |= _large_import(site, people, ledger)
    faults = faults_of(ledger)
    print(f"{SAVERS + IMPORTERS} people, {seconds:g} s, {kind}")
    for name, figure in {**figures, "faults": len(faults)}.items():
        print(f"  {name:58}{figure:>12}")
    print("\n".join(faults[:40]))
    return len(faults)


def made_site(port: int, ledger: Ledger) -> Site:
    """Make the tables, the people with a session each, and the records that they work on."""
    from django.contrib.auth.models import User
    from django.test import Client

    from shop.management.schema import prepare_tables
    from shop.vehicles import changes
    from shop.vehicles.models import Customer
    from tests.factories.people import make_person

    prepare_tables()
    people: list[User] = [make_person(roles=["owner"]) for _ in range(SAVERS + IMPORTERS)]
    sessions, records = {}, []
    for person in people:
        client = Client()
        client.force_login(person)
        sessions[person.pk] = client.cookies["sessionid"].value
    for number in range(SHARED + len(people)):
        customer = Customer(name=f"Customer {number}", phone="made", address="made", notes=notes_of("made"))
        records.append(changes.save_customer(customer, person=people[0]).pk)
        ledger.acts.append(Act("made", records[-1], people[0].pk, "made", 0.0, 0.0, True))
    own = dict(zip(sessions, records[SHARED:], strict=True))
    return Site(port, sessions, records[:SHARED], own)


@contextmanager
def served(port: int) -> Iterator[None]:
    """The site, served as in the shop, as long as this lasts."""
    command = [sys.executable, "manage.py", "serve", "--no-timed", "--bind", f"127.0.0.1:{port}"]
    serving = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        for _ in range(600):
            if serving.poll() is not None:
                raise SystemExit("the site refused to start")
            if _answers(port):
                break
            time.sleep(0.2)
        yield
    finally:
        serving.send_signal(signal.SIGTERM)
        serving.wait()


def _answers(port: int) -> bool:
    try:
        urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10).close()
    except urllib.error.HTTPError:  # it stands; only it does not know this name
        return True
    except OSError:
        return False
    return True


def _large_import(site: Site, people: list[int], ledger: Ledger) -> dict[str, str]:
    """Bring in 5,000 orders while a colleague saves; what the colleague waited, and the longest batch [s]."""
    from django.db import connection

    file, done, lines = File("Supplier of thousands", LARGE), threading.Event(), []
    ledger.files.append(file)
    alone = _alone(Person(site, people[0], ledger))
    before, began = len(ledger.waits), time.monotonic()

    def brings_in() -> None:
        try:
            lines.extend(bring_in(Browser(site, people[-1], ledger), file))
        finally:
            done.set()

    def saves() -> None:
        colleague = Person(site, people[0], ledger)
        while not done.wait(COLLEAGUE_EVERY):
            colleague.add(0)

    file_of_all = str(connection.settings_dict["NAME"]) if connection.vendor == "sqlite" else ""
    with watched(file_of_all) as lock:
        all_at_once([brings_in, saves], ledger)
    took, waits = time.monotonic() - began, sorted(ledger.waits[before:])
    if max(waits, default=0.0) > LONGEST_WAIT:
        ledger.wrong.append(f"a colleague's save waited {max(waits):.2f} s while {LARGE} orders were brought in")
    return {
        "a save with nobody else at work, longest wait, s": f"{alone:.2f}",
        f"{LARGE} orders brought in, s": f"{took:.1f}",
        f"a colleague's {len(waits)} saves meanwhile, longest wait, s": f"{max(waits, default=0.0):.2f}",
        "of ten of those saves nine waited at most, s": f"{waits[9 * len(waits) // 10]:.2f}" if waits else "–",
        f"write lock held at most, s (wanted {LONGEST_BATCH})": f"{lock.longest:.2f}" if file_of_all else "–",
        f"longest from one of {len(lines)} batches to the next, s": f"{max(lines[1:], default=0.0):.2f}",
    }


def _alone(colleague: Person) -> float:
    """The longest wait of a save while nobody else works: what this machine itself makes people wait [s]."""
    before = len(colleague.ledger.waits)
    for _ in range(ALONE):
        colleague.add(0)
    return max(colleague.ledger.waits[before:])


def _told(ledger: Ledger) -> dict[str, Any]:
    """The figures of the crowd's part."""
    waits = sorted(ledger.waits) or [0.0]
    kinds = {"save": "saves", "new": "new records", "delete": "deletions", "undo": "undone deletions"}
    figures: dict[str, Any] = {}
    for what, words in kinds.items():
        figures[f"{words}, acknowledged / refused"] = (
            f"{ledger.count(what, kept=True)} / {ledger.count(what, kept=False)}"
        )
    figures[f"files of {FILE_ORDERS} orders, each by {IMPORTERS} people at once"] = len(ledger.files)
    figures["orders they were told of"] = sum(count for _, count in ledger.written)
    figures |= {f"answers {status}": count for status, count in sorted(ledger.answers.items())}
    figures["wait of a save, median, s"] = f"{waits[len(waits) // 2]:.2f}"
    figures["wait of a save, longest, s"] = f"{waits[-1]:.2f}"
    return figures


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # the server and the database that were started end with it
    kind = sys.argv[2] if len(sys.argv) > 2 else "sqlite"
    sys.exit(bool(main(float(sys.argv[1]) if len(sys.argv) > 1 else 60.0, kind)))

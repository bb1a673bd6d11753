"""Thirty people at work on the site as it is served, and what they wait for.

python -m tests.load sqlite                   30 people for 300 seconds on the demo's workshop
python -m tests.load postgres --seconds 60    on a PostgreSQL of its own, shorter
python -m tests.load sqlite --thinks 2        people who hardly look at what they open: more than two cores can answer
python -m tests.load sqlite --compare         threads against processes, in turn, three times so many seconds each

Each person is signed in, opens pages and what is listed there, adds and changes records, thinking up to ten seconds
between, which is several times what a workshop does; connections are kept alive as a browser does. Figures are seconds
from sending to the last byte, of requests that read and of those that write, the first after the start among them.
Whatever is not answered as it must be is an error, and ends the command with 1.
"""

import argparse
import html
import http.client
import os
import random
import re
import secrets
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlencode

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
django.setup()

from shop.demo.world import PASSWORD, PEOPLE  # noqa: E402
from shop.serving.jobs import JOBS, JobRun  # noqa: E402
from shop.serving.pages import PROCESSES, THREADS  # noqa: E402
from shop.serving.runs import keep_runs  # noqa: E402
from tests.postgres import throwaway  # noqa: E402

ROOT = Path(__file__).parent.parent
PAGES = (
    "/",
    "/jobs/",
    "/orders/",
    "/planning/late/",
    "/planning/ready/",
    "/measuring/components/",
    "/vehicles/",
    "/search/?q=plate",
)
RECORD = re.compile(r'href="(/(?:jobs|orders|vehicles|measuring/components|worksheets)/\d+/)"')
WRITES_EVERY = 5
THINKS_AT_MOST, ROUNDS = 10.0, 3
SET_UPS = ((1, 12), (2, 6), (2, 2), (3, 1), (4, 3))
"""Processes and threads in each."""


@dataclass
class Watch:
    """What was waited for, and what went wrong."""

    waits: dict[tuple[str, str], list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: list[str] = field(default_factory=list)

    def all_of(self, verb: str) -> list[float]:
        return [took for key, each in self.waits.items() for took in each if key[0] == verb]

    def told(self) -> str:
        lines = [f"{len(self.errors)} errors"]
        lines += [f"{name:6} {spread(self.all_of(verb))}" for name, verb in (("read", "GET"), ("write", "POST"))]
        worst = sorted(self.waits, key=lambda key: -percentile(self.waits[key], 0.99))[:6]
        lines += [f"  {' '.join(key):32} {spread(self.waits[key])}" for key in worst]
        return "\n".join(lines + sorted(set(self.errors))[:20])


def percentile(waits: list[float], part: float) -> float:
    ranked = sorted(waits) or [0.0]
    return ranked[min(len(ranked) - 1, int(len(ranked) * part))]


def spread(waits: list[float]) -> str:
    half, most, nearly_all = (percentile(waits, part) for part in (0.5, 0.95, 0.99))
    longest = max(waits, default=0.0)
    return f"{len(waits):5} times: p50 {half:.2f}, p95 {most:.2f}, p99 {nearly_all:.2f}, longest {longest:.2f} s"


class Browser:
    """One person's browser: cookies, a connection that is kept, forms filled in as they were shown."""

    def __init__(self, port: int, watch: Watch) -> None:
        self.watch = watch
        self.cookies: dict[str, str] = {}
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)

    def ask(self, method: str, address: str, sent: dict[str, str] | None = None) -> tuple[str, str]:
        """Return the page, and where it leads."""
        headers = {"Host": "workshop.local", "Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        body = urlencode(sent) if sent else None
        if body:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        began = time.perf_counter()
        status, page, led_to = self._ask(method, address, body, headers)
        pattern = re.sub(r"\d+", "…", address.partition("?")[0])
        self.watch.waits[method, pattern].append(time.perf_counter() - began)
        if status != (302 if method == "POST" else 200):
            self.watch.errors.append(f"{method} {pattern} was answered {status}")
        return page, led_to

    def _ask(self, method: str, address: str, body: str | None, headers: dict[str, str]) -> tuple[int, str, str]:
        try:
            return self._once(method, address, body, headers)
        except (http.client.RemoteDisconnected, ConnectionError):
            # The connection was closed while it was idle; a browser asks again on a new one.
            self.connection.close()
            return self._once(method, address, body, headers)

    def _once(self, method: str, address: str, body: str | None, headers: dict[str, str]) -> tuple[int, str, str]:
        self.connection.request(method, address, body=body, headers=headers)
        response = self.connection.getresponse()
        for cookie in response.headers.get_all("Set-Cookie", []):
            key, _, rest = cookie.partition("=")
            self.cookies[key] = rest.partition(";")[0]
        return response.status, response.read().decode(errors="replace"), response.getheader("Location", "")

    def press(self, address: str, **sent: str) -> str:
        """Open a form, fill it in, send it with what it carries hidden, and open the page it leads to."""
        page, _ = self.ask("GET", address)
        _, led_to = self.ask("POST", address, {**hidden(page), **sent})
        if led_to:
            self.ask("GET", led_to)
        return led_to


def hidden(page: str) -> dict[str, str]:
    """The hidden fields of a page's main form."""
    _, _, main = page.partition('<main id="main"')
    tags = re.findall(r'<input[^>]*type="hidden"[^>]*>', main)
    pairs = ((re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)) for tag in tags)
    return {name[1]: html.unescape(value[1]) if value else "" for name, value in pairs if name}


class Person:
    """Somebody's day, in short."""

    def __init__(self, number: int, port: int, watch: Watch, cookies: dict[str, str], thinks: float) -> None:
        self.drawn, self.watch, self.thinks = random.Random(number), watch, thinks
        self.browser = Browser(port, watch)
        self.browser.cookies = dict(cookies)
        self.own, self.listed, self.typed = "", list[str](), {"kind": "gearbox", "maker": "Teskel"}

    def work(self, until: float) -> None:
        try:
            while time.monotonic() < until:
                time.sleep(self.drawn.uniform(0, self.thinks))
                self.write() if self.drawn.randrange(WRITES_EVERY) == 0 else self.read()
        except Exception as fault:  # whatever went wrong is an error that a person saw
            self.watch.errors.append(f"{type(fault).__name__}: {fault}")

    def read(self) -> None:
        at_a_list = self.listed and self.drawn.random() < 0.5
        page, _ = self.browser.ask("GET", self.drawn.choice(self.listed if at_a_list else PAGES))
        self.listed = RECORD.findall(page) or self.listed

    def write(self) -> None:
        """Add a component, or write something more on one's own."""
        if self.own:
            self.browser.press(f"{self.own}edit/", **self.typed, notes=secrets.token_hex(40))
            self.own = ""
        else:
            self.typed["name"] = f"Load {secrets.token_hex(6)}"
            self.own = self.browser.press("/measuring/components/new/", **self.typed)


def signed_in(port: int) -> list[dict[str, str]]:
    """The cookies of each person of the demo; nobody signs in in the middle of a day's work."""
    cookies = []
    for name, *_ in PEOPLE:
        browser = Browser(port, Watch())
        if browser.press("/people/sign-in/", username=name, password=PASSWORD) != "/":
            raise SystemExit(f"{name} could not sign in")
        cookies.append(browser.cookies)
    return cookies


def crowd(port: int, watch: Watch, *, people: int, seconds: float, thinks: float) -> None:
    """Let so many people at it, and note what they wait for."""
    known = signed_in(port)
    until = time.monotonic() + seconds
    persons = [Person(number, port, watch, known[number % len(known)], thinks) for number in range(people)]
    all_of_them = [threading.Thread(target=each.work, args=(until,)) for each in persons]
    for each in all_of_them:
        each.start()
    for each in all_of_them:
        each.join()


def database(kind: str) -> AbstractContextManager[str]:
    return throwaway(durable=True) if kind == "postgres" else nullcontext("")


def settings_of(folder: str, url: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("SHOP_", "DJANGO_", "DATABASE_"))}
    ours = {"SHOP_DATA": folder, "SHOP_SECRET_KEY": secrets.token_urlsafe(50), "SHOP_HOSTS": "workshop.local"}
    return {**kept, **ours, "SHOP_HTTPS": "0", **({"DATABASE_URL": url} if url else {})}


def made_demo(folder: str, environment: dict[str, str]) -> None:
    """The demo's workshop; its copies and mails of the day are done, so that all that is measured is people."""
    command = [sys.executable, "manage.py", "demo", "--no-serve"]
    subprocess.run(command, cwd=ROOT, env={**environment, "SHOP_LOCAL": "1"}, check=True, stdout=subprocess.DEVNULL)
    now = datetime.now(UTC)
    keep_runs({job.name: JobRun(now, True, good=now) for job in JOBS}, Path(folder))


@contextmanager
def served(environment: dict[str, str], processes: int, threads: int) -> Iterator[int]:
    """The site as it is served in the shop, on a free port."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = int(taken.getsockname()[1])
    sized = ["--processes", str(processes), "--threads", str(threads)]
    command = [sys.executable, "manage.py", "serve", "--bind", f"127.0.0.1:{port}", *sized]
    process = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        _await(port, process)
        yield port
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait()


def _await(port: int, process: subprocess.Popen[bytes]) -> None:
    for _ in range(600):
        if process.poll() is not None:
            raise SystemExit("the site refused to start")
        try:
            Browser(port, Watch()).ask("GET", "/people/sign-in/")
            return
        except OSError:
            time.sleep(0.5)
    raise SystemExit("the site did not start")


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.load")
    parser.add_argument("kind", choices=["sqlite", "postgres"])
    parser.add_argument("--people", type=int, default=30)
    parser.add_argument("--seconds", type=float, default=300)
    parser.add_argument("--thinks", type=float, default=THINKS_AT_MOST, help="seconds at most between two requests")
    parser.add_argument("--compare", action="store_true", help="threads against processes")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="load-") as folder, database(chosen.kind) as url:
        environment = settings_of(folder, url)
        made_demo(folder, environment)
        watches = watched(chosen, environment)
    print(f"{chosen.kind}, {chosen.people} people, {chosen.seconds:g} s, thinking up to {chosen.thinks:g} s")
    for (processes, threads), watch in watches.items():
        print(f"{processes} processes of {threads} threads: {watch.told()}")
    return sum(len(watch.errors) for watch in watches.values())


def watched(chosen: argparse.Namespace, environment: dict[str, str]) -> dict[tuple[int, int], Watch]:
    """What was waited for with each set-up; compared ones take turns, so that a slow minute is no one's alone."""
    watches = {each: Watch() for each in (SET_UPS if chosen.compare else ((PROCESSES, THREADS),))}
    for _ in range(ROUNDS if chosen.compare else 1):
        for each, watch in watches.items():
            of_this_turn = Watch()
            with served(environment, *each) as port:
                crowd(port, of_this_turn, people=chosen.people, seconds=chosen.seconds, thinks=chosen.thinks)
            if chosen.compare:
                print(f"  in turn, {each[0]} × {each[1]}: {spread(of_this_turn.all_of('GET'))}", flush=True)
            watch.errors += of_this_turn.errors
            for key, waits in of_this_turn.waits.items():
                watch.waits[key] += waits
    return watches


if __name__ == "__main__":
    sys.exit(bool(main()))

"""Thirty people at work on the site as it is served, and what they wait for.

python -m tests.load DATA                     30 people for 300 seconds on a copy of a demo's data folder
python -m tests.load DATA --seconds 60        shorter
python -m tests.load DATA --compare           threads against processes, a short run each
DATABASE_URL=postgres://… python -m tests.load DATA     on a database that holds the demo already

Each person is signed in, opens pages and saves, thinking up to two seconds between; connections are kept alive as a
browser does. The figures are seconds from sending to the last byte, of requests that read and of those that write.
"""

import argparse
import html
import http.client
import json
import os
import random
import re
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
django.setup()

from shop.demo.world import PASSWORD, PEOPLE  # noqa: E402

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
WRITES_EVERY = 5
THINKS_AT_MOST = 2.0
SET_UPS = ((1, 12), (2, 6), (2, 2), (3, 1), (4, 3))
"""Processes and threads in each."""


@dataclass
class Watch:
    """What was waited for, and what went wrong."""

    reads: list[float] = field(default_factory=list)
    writes: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def told(self) -> str:
        parts = [f"{len(self.errors)} errors"]
        for name, took in (("read", self.reads), ("write", self.writes)):
            ranked = sorted(took) or [0.0]
            half, most = ranked[len(ranked) // 2], ranked[min(len(ranked) - 1, int(len(ranked) * 0.99))]
            parts.append(f"{name} {len(took)}: median {half:.2f}, p99 {most:.2f}, longest {ranked[-1]:.2f} s")
        return "; ".join(parts)


class Browser:
    """One person's browser: cookies, a connection that is kept, forms filled in as they were shown."""

    def __init__(self, port: int, watch: Watch) -> None:
        self.port, self.watch = port, watch
        self.cookies: dict[str, str] = {}
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)

    def ask(self, method: str, address: str, sent: dict[str, str] | None = None) -> tuple[int, str]:
        headers = {"Host": "workshop.local", "Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        body = urlencode(sent) if sent else None
        if body:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        began = time.perf_counter()
        status, page = self._ask(method, address, body, headers)
        took = time.perf_counter() - began
        (self.watch.writes if method == "POST" else self.watch.reads).append(took)
        if status not in (200, 302):
            self.watch.errors.append(f"{method} {address}: {status}")
        return status, page

    def _ask(self, method: str, address: str, body: str | None, headers: dict[str, str]) -> tuple[int, str]:
        try:
            return self._once(method, address, body, headers)
        except (http.client.RemoteDisconnected, ConnectionError):
            # The connection was closed while it was idle; a browser asks again on a new one.
            self.connection.close()
            return self._once(method, address, body, headers)

    def _once(self, method: str, address: str, body: str | None, headers: dict[str, str]) -> tuple[int, str]:
        self.connection.request(method, address, body=body, headers=headers)
        response = self.connection.getresponse()
        for name, value in response.getheaders():
            if name.lower() == "set-cookie":
                key, _, rest = value.partition("=")
                self.cookies[key] = rest.partition(";")[0]
        return response.status, response.read().decode(errors="replace")

    def press(self, address: str, **sent: str) -> int:
        """Open a form, fill it in, send it with what it carries hidden."""
        _, page = self.ask("GET", address)
        return self.ask("POST", address, {**hidden(page), **sent})[0]


def hidden(page: str) -> dict[str, str]:
    """The hidden fields of a page's main form."""
    _, _, main = page.partition('<main id="main"')
    tags = re.findall(r'<input[^>]*type="hidden"[^>]*>', main)
    pairs = ((re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)) for tag in tags)
    return {name[1]: html.unescape(value[1]) if value else "" for name, value in pairs if name}


def signed_in(port: int) -> list[dict[str, str]]:
    """The cookies of each person of the demo; nobody signs in in the middle of a day's work."""
    cookies = []
    for name, *_ in PEOPLE:
        browser = Browser(port, Watch())
        if browser.press("/people/sign-in/", username=name, password=PASSWORD) != 302:
            raise SystemExit(f"{name} could not sign in: is {PASSWORD} the password there?")
        cookies.append(browser.cookies)
    return cookies


def person(number: int, port: int, until: float, watch: Watch, cookies: dict[str, str]) -> None:
    """A person's day, in short."""
    drawn = random.Random(number)
    browser = Browser(port, watch)
    browser.cookies = dict(cookies)
    try:
        while time.monotonic() < until:
            time.sleep(drawn.uniform(0, THINKS_AT_MOST))
            if drawn.randrange(WRITES_EVERY) == 0:
                if browser.press("/vehicles/customers/new/", name=f"Load {number} {secrets.token_hex(4)}") != 302:
                    watch.errors.append("a customer was not saved")
            else:
                browser.ask("GET", drawn.choice(PAGES))
    except Exception as fault:  # whatever went wrong is an error that a person saw
        watch.errors.append(f"{type(fault).__name__}: {fault}")


@contextmanager
def served(data: Path, processes: int, threads: int) -> Iterator[int]:
    """The site over a copy of a data folder, on a free port."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as taken:
        shutil.copytree(data, folder, dirs_exist_ok=True)
        taken.bind(("127.0.0.1", 0))
        port = int(taken.getsockname()[1])
        taken.close()
        chosen = {
            **os.environ,
            "SHOP_DATA": folder,
            "SHOP_SECRET_KEY": secrets.token_urlsafe(50),
            "SHOP_HOSTS": "workshop.local",
            "SHOP_HTTPS": "0",
        }
        for of_this_command in ("SHOP_LOCAL", "DJANGO_SETTINGS_MODULE"):
            chosen.pop(of_this_command, None)
        sized = ["--processes", str(processes), "--threads", str(threads)]
        command = [sys.executable, "manage.py", "serve", "--bind", f"127.0.0.1:{port}", *sized]
        process = subprocess.Popen(command, cwd=ROOT, env=chosen, stderr=subprocess.DEVNULL)
        try:
            _await(port, process)
            yield port
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait()


def _await(port: int, process: subprocess.Popen[bytes]) -> None:
    for _ in range(600):
        if process.poll() is not None:
            raise SystemExit("the site refused to start: see above")
        try:
            browser = Browser(port, Watch())
            browser.ask("GET", "/people/sign-in/")
            return
        except OSError:
            time.sleep(0.5)
    raise SystemExit("the site did not start")


def crowd(port: int, people: int, seconds: float) -> Watch:
    known = signed_in(port)
    watch, until = Watch(), time.monotonic() + seconds
    all_of_them = [
        threading.Thread(target=person, args=(number, port, until, watch, known[number % len(known)]))
        for number in range(people)
    ]
    for each in all_of_them:
        each.start()
    for each in all_of_them:
        each.join()
    return watch


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__)
    parser.add_argument("data", type=Path, help="data folder of a demo; a copy of it is served")
    parser.add_argument("--people", type=int, default=30)
    parser.add_argument("--seconds", type=float, default=300)
    parser.add_argument("--compare", action="store_true", help="threads against processes")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--threads", type=int, default=6)
    chosen = parser.parse_args()
    for processes, threads in SET_UPS if chosen.compare else ((chosen.processes, chosen.threads),):
        with served(chosen.data, processes, threads) as port:
            watch = crowd(port, chosen.people, chosen.seconds)
        print(f"{processes} processes of {threads} threads, {chosen.people} people, {chosen.seconds:.0f} s:")
        print(f"  {watch.told()}", flush=True)
        if watch.errors:
            print(f"  {json.dumps(sorted(set(watch.errors))[:5])}")


if __name__ == "__main__":
    main()

"""How long after a write the pages show the new forecast: `python -m tests.benchmarks forecast [1000] [postgres]`.

The demo's workshop, with so many orders of past years beside it, as it is served in the shop: two processes for pages,
one for timed work that draws the forecast. A second process writes as a person's verb does, and one reader asks for
the forecast's page twenty times a second, insisting on a new one (`no-cache`). A folder among the words is a shop that
is there already, which is copied and measured instead. Told of each kind of write:

- how often it moved the forecast, seen by the page's own words, or by what is kept where it was drawn within one page;
- seconds from the write's end until the page shows the new one, median and worst of several;
- processor seconds that the timed work took for it;
- pages that said meanwhile of when their forecast was, and what the page took until the new one was there [ms].
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from http.client import HTTPConnection
from pathlib import Path
from statistics import median
from typing import IO

from tests.benchmarks.crowd import PROCESSES
from tests.benchmarks.readers import HOST

PAGE, WORDS = "/planning/forecast/", re.compile(rb"As of [^<]+ is being worked out")
TURNS, SETTLES, PATIENCE, PAUSE = 6, 3.0, 60.0, 0.05
"""Writes of a kind; seconds without a new forecast after which none comes; seconds that one is waited for;
seconds between two pages."""


@dataclass
class Waited:
    """What followed one write: seconds until the new forecast was shown, None where nothing moved; processor seconds;
    pages that said of when they were; milliseconds a page."""

    seconds: float | None
    cpu: float
    said: int
    pages: list[float]


def run(words: list[str]) -> None:
    """Make the shop, or copy one; serve it, write, and print a line a kind of write."""
    from shop.serving.pages import THREADS
    from tests import load

    for shop, environment in shops(words):
        with load.served(environment, PROCESSES, THREADS) as port, _writer(environment) as (asks, answers):
            cookies = load.signed_in(port)[0]
            print(f"{shop}, {PROCESSES} processes, load {os.getloadavg()[0]:.1f}")
            print("\n".join(told(_Reader(port, cookies), asks, answers)), flush=True)


def shops(words: list[str]) -> Iterator[tuple[str, dict[str, str]]]:
    """Each shop that the words ask for, to be served: its database and size in words, and its environment."""
    from tests import load

    kind = "postgres" if "postgres" in words else "sqlite"
    there = next((word for word in words if Path(word).is_dir()), "")
    for size in [int(word) for word in words if word.isdigit()] or [1_000]:
        with tempfile.TemporaryDirectory(prefix="shop-") as folder, load.database(kind) as url:
            environment = {**load.settings_of(folder, url), "DJANGO_SETTINGS_MODULE": "shop.settings"}
            _made(folder, environment, size, there)
            yield f"{kind}, {there or f'{size:,} orders'}", environment


def _made(folder: str, environment: dict[str, str], size: int, there: str) -> None:
    from shop.serving.jobs import JOBS, JobRun
    from shop.serving.runs import keep_runs
    from tests import load

    if there:
        shutil.copytree(there, folder, dirs_exist_ok=True)
        now = datetime.now(UTC)
        keep_runs({job.name: JobRun(now, True, good=now) for job in JOBS}, Path(folder))
    else:
        load.made_demo(folder, environment)
        subprocess.run([sys.executable, "-m", "tests.benchmarks.forecast", "years", str(size)], env=environment)


@contextmanager
def _writer(environment: dict[str, str]) -> Iterator[tuple[IO[str], IO[str]]]:
    command = [sys.executable, "-m", "tests.benchmarks.forecast", "write"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, env=environment, stdin=pipe, stdout=pipe, text=True, bufsize=1) as process:
        assert process.stdin
        assert process.stdout
        yield process.stdin, process.stdout
        process.stdin.close()


class _Reader:
    """One person's browser that asks for the forecast again and again."""

    def __init__(self, port: int, cookies: dict[str, str]) -> None:
        self.connection = HTTPConnection("127.0.0.1", port, timeout=120)
        said = "; ".join(f"{name}={value}" for name, value in cookies.items())
        self.headers = {"Host": HOST, "Cookie": said, "Cache-Control": "no-cache"}

    def ask(self) -> tuple[bool, float]:
        """Whether the page said that a new forecast is being worked out, and what it took [ms]."""
        began = time.perf_counter()
        self.connection.request("GET", PAGE, headers=self.headers)
        response = self.connection.getresponse()
        page = response.read()
        assert response.status == 200, response.status
        took = time.perf_counter() - began
        time.sleep(PAUSE)
        return bool(WORDS.search(page)), took * 1000


def told(reader: _Reader, asks: IO[str], answers: IO[str]) -> Iterator[str]:
    """A line a kind of write."""
    from tests.benchmarks.writes import OF_A_FORECAST

    yield f"{'':12}{'moved':>7}{'median s':>10}{'worst s':>9}{'CPU s':>8}{'said':>6}{'page ms':>9}{'worst':>7}"
    _settled(reader)
    for name in OF_A_FORECAST:
        waits = [_after(name, turn, reader, asks, answers) for turn in range(TURNS)]
        moved = [one.seconds for one in waits if one.seconds is not None]
        pages = [ms for one in waits for ms in one.pages]
        shown = f"{median(moved):10.2f}{max(moved):9.2f}" if moved else f"{'':19}"
        cpu, said = median(one.cpu for one in waits), sum(one.said for one in waits)
        yield f"{name:12}{len(moved):5}/{TURNS}{shown}{cpu:8.2f}{said:6}{median(pages):9.1f}{max(pages):7.0f}"


def _settled(reader: _Reader) -> None:
    """Ask until the first forecast is there, and each process knows the page."""
    until = time.monotonic() + SETTLES
    while time.monotonic() < until:
        if reader.ask()[0]:
            until = time.monotonic() + SETTLES


def _after(name: str, turn: int, reader: _Reader, asks: IO[str], answers: IO[str]) -> Waited:
    drawer, spent = _drawer(), 0.0
    before, drawn = _cpu(drawer), _asked(asks, answers, "kept")
    asks.write(f"{name} {turn}\n")
    assert answers.readline().strip() == "written"
    began, said, pages, seconds = time.monotonic(), 0, list[float](), None
    while time.monotonic() - began < (SETTLES if seconds is None and not said else PATIENCE):
        old, ms = reader.ask()
        pages.append(ms)
        said += old
        if said and not old:
            seconds = time.monotonic() - began
            break
        if not said and _asked(asks, answers, "kept") != drawn:
            seconds = time.monotonic() - began
            break
    else:
        assert not said, f"no new forecast came within {PATIENCE:g} s"
    time.sleep(0.5)  # what it does when the forecast is kept is part of its cost
    spent = _cpu(drawer) - before
    return Waited(seconds, spent, said, pages)


def _asked(asks: IO[str], answers: IO[str], words: str) -> str:
    asks.write(f"{words}\n")
    return answers.readline().strip()


def _drawer() -> int:
    """The process that does the timed work."""
    from tests.benchmarks.memory import _below, _name

    return next(number for number in _below(os.getpid()) if _name(number).startswith("timed"))


def _cpu(number: int) -> float:
    """Processor seconds of a process, of all its threads (proc(5), stat)."""
    fields = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def write() -> None:
    """Do each write that is asked for on standard input: its name and turn; or say which forecast is kept."""
    from shop.planning.models import KeptForecast
    from tests.benchmarks.writes import OF_A_FORECAST

    for line in sys.stdin:
        name, *turn = line.split()
        if name == "kept":
            print(KeptForecast.objects.values_list("fingerprint", flat=True).first(), flush=True)
        else:
            OF_A_FORECAST[name](int(turn[0]))
            print("written", flush=True)


def main(words: list[str]) -> None:
    import django

    django.setup()
    if words == ["write"]:
        write()
    else:
        from datetime import date

        from tests.benchmarks.years_of_work import write_years

        write_years(0, int(words[1]), date.today())


if __name__ == "__main__":
    main(sys.argv[1:])

"""How many requests a second the served site answers, twenty at once.

`python -m tests.benchmarks crowd [1] [postgres|both] [keep]`: the demo's workshop as it is served in the shop, by two
processes; twenty readers ask for one page again and again, a second of it or as many as are said, without a pause and
each on a connection that is kept. Told of each page: as it is sent to one who asks as browsers do, and as it is made
for one who insists on it (`no-cache`). The readers take their time from the same cores, as little as they can. `keep`
writes the run of each database to `crowd.json`.
"""

from __future__ import annotations

import json
import os
import tempfile
import time
from collections.abc import Iterator
from datetime import date
from itertools import cycle, islice
from pathlib import Path

from tests.benchmarks.readers import head_of, waits

# Of a page in one of the two ways: requests a second, median and p99 [ms].
Rate = dict[str, float]

PAGES = {
    "orders": "/orders/",
    "jobs": "/jobs/",
    "dimensions": "/measuring/dimensions/",
    "vehicles": "/vehicles/",
    "components": "/measuring/components/",
    "Today": "/",
    "Late": "/planning/late/",
    "job": "/jobs/1/",
    "ready work": "/planning/ready/",
}
AT_ONCE, PROCESSES = 20, 2
SETTLES_WITHIN = 4.0
"""Seconds in which the timed work that begins beside the pages has read its code and drawn the first forecast."""
KEPT = Path(__file__).parent / "crowd.json"


def run(words: list[str]) -> None:
    """Make the workshop, serve it, ask, and print a line a page; of one database or of both."""
    seconds = next((float(word) for word in words if word.replace(".", "").isdigit()), 1.0)
    for kind in ("sqlite", "postgres") if "both" in words else ("postgres",) if "postgres" in words else ("sqlite",):
        load = os.getloadavg()[0]
        pages = _measured(kind, seconds)
        if "keep" in words:
            kept = json.loads(KEPT.read_text()) if KEPT.exists() else {}
            run = {"day": date.today().isoformat(), "load": load, "pages": pages}
            KEPT.write_text(json.dumps({**kept, kind: run}, indent=1) + "\n")


def _measured(kind: str, seconds: float) -> dict[str, dict[str, Rate]]:
    from shop.serving.pages import THREADS
    from tests import load

    with tempfile.TemporaryDirectory(prefix="crowd-") as folder, load.database(kind) as url:
        environment = load.settings_of(folder, url)
        load.made_demo(folder, environment)
        with load.served(environment, PROCESSES, THREADS) as port:
            time.sleep(SETTLES_WITHIN)
            print(f"{kind}, {AT_ONCE} at once, {PROCESSES} processes of {THREADS} threads, {seconds:g} s a page")
            return dict(_told(port, load.signed_in(port), seconds))


def _told(port: int, people: list[dict[str, str]], seconds: float) -> Iterator[tuple[str, dict[str, Rate]]]:
    """Of each page, which is printed as it is measured: as it is sent, and as it is made."""
    print(f"{'':14}{'sent/s':>9}{'p50':>7}{'p99':>8}{'made/s':>11}{'p50':>7}{'p99':>8}")
    for name, address in PAGES.items():
        rates = {
            way: _rate(_waits(port, people, address, made, seconds), seconds)
            for way, made in (("sent", False), ("made", True))
        }
        cells = (f"{one['per second']:8.0f} {one['p50']:6.0f}  {one['p99']:6.0f}" for one in rates.values())
        print(f"{name:14}{'   '.join(cells)}", flush=True)
        yield name, rates


def _rate(waits: list[float], seconds: float) -> Rate:
    ranked = sorted(waits)
    half, nearly_all = (ranked[min(len(ranked) - 1, int(len(ranked) * part))] * 1000 for part in (0.5, 0.99))
    return {"per second": len(ranked) / seconds, "p50": half, "p99": nearly_all}


def _waits(port: int, people: list[dict[str, str]], address: str, made: bool, seconds: float) -> list[float]:
    """What each request took [s], after each reader was shown the page a few times."""
    told = "Cache-Control: no-cache" if made else ""
    heads = [head_of(address, cookies, told) for cookies in islice(cycle(people), AT_ONCE)]
    return waits(port, heads, seconds, first=2 * PROCESSES)

"""What pages cost as years of work gather: `python -m tests.benchmarks pages [keep] [postgres|both] [1000 10000 …]`.

Makes a database of its own (the demo, and beside it finished work in bulk), asks for each page as the owner would, and
prints for every size the processor time [ms] of a page that is made, by a reader who insists on it (`no-cache`), of
the same page sent again while nobody wrote, and of the first who asks after somebody did (once), the queries, how
long the slowest lasts [ms], the rows read and by how much the process grew [MB] over the page. All ratios are of one
run: to the *limit*, fifty rows by raw SQL and an answer of as many bytes as the page's, and to Django's own changelist
of fifty orders. What ran before is kept in `pages.json`, a run a database, and told beside today's; `both` measures
SQLite, then PostgreSQL, and prints the two side by side.
Four writes are told apart: somebody's name, a finished step, pieces that came, a reading (`writes.py`).
Each size is measured by a process of its own, as a shop's are: in the one that wrote the years, memory lies scattered,
and every page took a fifth longer, of however few orders.
"Rows read" is, on SQLite, the instructions of its virtual machine in hundreds (`sqlite3_progress_handler`); on
PostgreSQL, whose server works beside this process, the rows of every scan that EXPLAIN ANALYZE counts.
"""

from __future__ import annotations

import gc
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from functools import partial
from io import StringIO
from pathlib import Path
from statistics import median
from typing import Any

from tests.benchmarks.apart import run_apart
from tests.benchmarks.lists import LISTS
from tests.benchmarks.one_thing import one_thing
from tests.benchmarks.whole_files import measured_files, written_files

KEPT = Path(__file__).parent / "pages.json"
SETTINGS = "tests.benchmarks.settings"
SIZES = (1_000, 10_000, 100_000)
RUNS, TURNS = 7, 4
AGAIN = [sys.executable, "-m", "tests.benchmarks.pages"]
STEP = 100

PAGES = {
    "Today": "/",
    "Late": "/planning/late/",
    "worksheets": "/worksheets/",
    "ready work": "/planning/ready/",
    "forecast": "/planning/forecast/",
    **LISTS,
    "search": "/search/?q=Y0000123",
    "sign-in page": "/people/sign-in/",
    "admin changelist": "/admin/orders/order/",
}


def run(words: list[str]) -> None:
    """Measure in a process of its own, on a database that is thrown away."""
    if "both" not in words:
        sys.exit(run_apart("pages", words, settings=SETTINGS))
    words = [word for word in words if word != "both"]
    ended = [run_apart("pages", [*words, *more, "keep"], settings=SETTINGS) for more in ((), ("postgres",))]
    print("\n".join(side_by_side(json.loads(KEPT.read_text()))))
    sys.exit(max(ended))


def main(words: list[str]) -> None:
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection

    if "measure" in words:
        print(json.dumps(_measured_here()))
        return
    call_command("demo", "--no-serve", stdout=StringIO())
    sizes = [int(word) for word in words if word.isdigit()] or list(SIZES)
    vendor = connection.vendor
    kept = json.loads(KEPT.read_text()) if KEPT.exists() else {}
    earlier = kept.get(vendor, {}).get("sizes", {})
    told: dict[str, Any] = {"day": date.today().isoformat(), "load": os.getloadavg()[0], "sizes": {}, "files": {}}
    for before, size in zip([0, *sizes], sizes, strict=False):
        print(f"\n{vendor}, {size:,} orders, made in {_made(before, size):.0f} s, load {os.getloadavg()[0]:.1f}")
        connection.close()
        found = json.loads(subprocess.run([*AGAIN, "measure"], stdout=subprocess.PIPE, check=True).stdout)
        now = told["sizes"][str(size)] = found["pages"]
        files = told["files"][str(size)] = found["files"]
        lines = written(now, told["sizes"][str(sizes[0])], earlier.get(str(size), {}))
        print("\n".join([*lines, *written_files(files)]), flush=True)
        if "keep" in words:  # After each size: who ends a long run early keeps what was measured.
            KEPT.write_text(json.dumps({**kept, vendor: told}, indent=1) + "\n")


def _measured_here() -> dict[str, Any]:
    from shop.serving.memory import take_what_is_loaded_for_lasting

    take_what_is_loaded_for_lasting()
    client = _owner()
    return {"pages": measured(client), "files": measured_files(client)}


def _made(first: int, last: int) -> float:
    """Write what is missing to so many orders, and what it is found by; the processor time [s].

    And the forecast is drawn, so that pages have one to show: while a new one is drawn elsewhere they show the last.
    """
    from django.db import connection
    from django.utils import timezone

    from shop.base.plan_statistics import count_anew
    from shop.base.search_index import rebuild
    from shop.planning.drawing import draw_where_it_moved
    from tests.benchmarks.years_of_work import write_years

    began = time.process_time()
    write_years(first, last, date.today())
    rebuild()
    count_anew(connection)
    draw_where_it_moved(date.today(), timezone.now())
    return time.process_time() - began


def _owner() -> Any:
    """A browser of the owner, who may see the admin's pages too."""
    from django.contrib.auth.models import User
    from django.test import Client

    owner = User.objects.get(username="hedda")
    User.objects.filter(pk=owner.pk).update(is_staff=True, is_superuser=True)
    client = Client()
    client.force_login(owner)
    return client


def measured(client: Any) -> dict[str, dict[str, float]]:
    """Every page: processor time [ms], queries, rows read, bytes."""
    from django.test import Client

    from shop.serving.memory import take_what_is_loaded_for_lasting

    take_what_is_loaded_for_lasting()  # as where the site is served
    found: dict[str, dict[str, float]] = {}
    addresses = one_thing()
    for name, page in {**PAGES, **addresses}.items():
        asked = addresses.get(name, page)
        one = Client() if name == "sign-in page" else client
        ask, again = partial(_get, one, asked, made=True), partial(_get, one, asked)
        size = len(ask().content)
        held = _resident()
        found[name] = {
            "ms": _timed(ask),
            "limit": _timed(partial(_limit, size)),
            "ms_again": _timed(again),
            "ms_written": _after_writes(ask),
            "queries": len(lasted := _queries(one, asked)),
            "slowest": max(lasted, default=0),
            "rows": _rows_read(one, asked),
            "bytes": size,
            "grown": max(_resident() - held, 0),
        }
    return found


def written(now: dict[str, Any], first: dict[str, Any], earlier: dict[str, Any]) -> list[str]:
    """Write a line a page: what it cost before and costs, as a multiple of the limit, of the admin's list, of the first
    size."""
    lines = [
        f"{'':20}{'before':>8}{'ms':>8}{'again':>7}{'name':>7}{'step':>7}{'came':>7}{'reading':>8}"
        f"{'× limit':>9}{'× admin':>9}"
        f"{'queries':>9}{'slowest':>8}{'rows':>8}{'KB':>6}{'MB':>6}{'× ms':>7}{'× rows':>8}"
    ]
    admin = now["admin changelist"]["ms"]
    for name, one in now.items():
        then = first[name]
        before = f"{earlier[name]['ms']:8.1f}" if name in earlier else f"{'':8}"
        lines.append(
            f"{name:20}{before}{one['ms']:8.1f}{one['ms_again']:7.1f}"
            f"{''.join(f'{ms:7.0f}' for ms in one['ms_written'].values())} "
            f"{one['ms'] / one['limit']:9.0f}{one['ms'] / admin:9.2f}"
            f"{one['queries']:9}{one['slowest']:8.1f}{one['rows']:8}{one['bytes'] / 1024:6.0f}{one['grown']:6.1f}"
            f"{one['ms'] / then['ms']:7.2f}{one['rows'] / max(then['rows'], 1):8.2f}"
        )
    return lines


def side_by_side(kept: dict[str, Any]) -> list[str]:
    """Write a line a page and size: both databases beside each other."""
    of = {vendor: kept[vendor]["sizes"] for vendor in ("sqlite", "postgresql")}
    head = f"{'ms':>8}{'× limit':>9}{'× admin':>9}{'queries':>9}{'rows':>8}{'MB':>6}"
    lines = [f"{'':30}{'SQLite':>49}{'PostgreSQL':>49}", f"{'':30}{head}{head}"]
    for size, pages in of["sqlite"].items():
        for name in pages:
            cells = [_cells(sizes[size], name) for sizes in of.values() if name in sizes.get(size, {})]
            lines.append(f"{name:20}{int(size):10,}{''.join(cells)}")
    return lines


def _cells(pages: dict[str, Any], name: str) -> str:
    one, admin = pages[name], pages["admin changelist"]["ms"]
    times = f"{one['ms'] / one['limit']:9.0f}{one['ms'] / admin:9.2f}"
    return f"{one['ms']:8.1f}{times}{one['queries']:9}{one['rows']:8}{one['grown']:6.1f}"


def _resident() -> float:
    """What this process holds of memory [MB]."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def _timed(call: Callable[[], Any]) -> float:
    """The median of some runs after one that warms up [ms of processor time]."""
    call()
    gc.collect()
    taken = []
    for _ in range(RUNS):
        began = time.process_time()
        call()
        taken.append((time.process_time() - began) * 1000)
    return median(taken)


def _after_writes(call: Callable[[], Any]) -> dict[str, float]:
    """What the first reader costs after each kind of write, which is another one each time [ms]: the median of some."""
    from tests.benchmarks.writes import WRITES

    return {name: median(_after(partial(write, turn), call) for turn in range(TURNS)) for name, write in WRITES.items()}


def _after(write: Callable[[], None], call: Callable[[], Any]) -> float:
    """What a reader costs who comes right after a write, while the forecast is drawn elsewhere, as in the shop [ms]."""
    from shop.planning.drawing_lock import at_work

    write()
    with at_work():
        began = time.process_time()
        call()
        return (time.process_time() - began) * 1000


def _limit(size: int) -> bytes:
    """Fifty orders by one raw query in the order of an index, and an answer of so many bytes."""
    from django.db import connection
    from django.http import HttpResponse

    sql = (
        "SELECT o.id, o.number, o.reference, o.ordered_on, s.name FROM orders_order o "
        "JOIN orders_supplier s ON s.id = o.supplier_id ORDER BY o.ordered_on DESC, o.id LIMIT 50"
    )
    with connection.cursor() as cursor:
        cursor.execute(sql)
        text = "".join(map(str, cursor.fetchall()))
    return HttpResponse(text.ljust(size)).content


def _get(client: Any, address: str, made: bool = False) -> Any:
    response = client.get(address, headers={"Cache-Control": "no-cache"} if made else None)
    assert response.status_code == 200, (address, response.status_code)
    return response


def _queries(client: Any, address: str) -> list[float]:
    """How long each query of a page lasts [ms], the server's work among it: the least of some times."""
    from django.db import connection

    def last() -> list[float]:
        lasted: list[float] = []

        def ask(execute: Callable[..., Any], *given: Any) -> Any:
            began = time.perf_counter()
            told = execute(*given)
            lasted.append((time.perf_counter() - began) * 1000)
            return told

        with connection.execute_wrapper(ask):
            _get(client, address, made=True)
        return lasted

    return [min(times) for times in zip(*(last() for _ in range(3)), strict=False)]


def _rows_read(client: Any, address: str) -> int:
    from django.db import connection

    from tests.queries import rows_read, sqlite_steps

    ask = partial(_get, client, address, made=True)
    return rows_read(ask) if connection.vendor == "postgresql" else sqlite_steps(ask, STEP)


if __name__ == "__main__":
    main(sys.argv[1:])

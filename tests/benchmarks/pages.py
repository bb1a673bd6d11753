"""What pages cost as years of work gather: `python -m tests.benchmarks pages [keep] [postgres] [1000 10000 …]`.

Makes a database of its own (the demo, and beside it finished work in bulk), asks for each page as the owner would, and
prints for every size the processor time [ms] of who asks again while nobody wrote, that of the first who asks after
somebody did (once), the queries and the rows read. All ratios are of one run: to the *limit*,
the same number of rows by raw SQL and an answer of as many bytes, and to Django's own changelist of fifty orders.
"Rows read" is, on SQLite, the instructions of its virtual machine in hundreds (`sqlite3_progress_handler`); on
PostgreSQL the rows of every scan that EXPLAIN ANALYZE counts.
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections.abc import Callable
from datetime import date
from io import StringIO
from pathlib import Path
from statistics import median
from typing import Any

from tests.benchmarks.apart import run_apart

KEPT = Path(__file__).parent / "pages.json"
SIZES = (1_000, 10_000, 100_000)
RUNS = 5
STEP = 100

PAGES = {
    "Today": "/",
    "job": "job",
    "Late": "/planning/late/",
    "worksheets": "/worksheets/",
    "ready work": "/planning/ready/",
    "forecast": "/planning/forecast/",
    "orders": "/orders/",
    "orders with a word": "/orders/?words=Y0000123",
    "order": "order",
    "suppliers": "/orders/suppliers/",
    "supplier": "supplier",
    "search": "/search/?q=Y0000123",
    "jobs": "/jobs/",
    "vehicles": "/vehicles/",
    "dimensions": "/measuring/dimensions/",
    "dimension": "dimension",
    "components": "/measuring/components/",
    "sign-in page": "/people/sign-in/",
    "admin changelist": "/admin/orders/order/",
}


def run(words: list[str]) -> None:
    """Measure in a process of its own, on a database that is thrown away."""
    run_apart("pages", words, settings="tests.benchmarks.settings")


def main(words: list[str]) -> None:
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection

    from shop.base.search_index import rebuild
    from tests.benchmarks.years_of_work import write_years

    call_command("demo", "--no-serve", stdout=StringIO())
    sizes = [int(word) for word in words if word.isdigit()] or list(SIZES)
    told: dict[str, Any] = {"day": date.today().isoformat(), "sizes": {}}
    before = 0
    for size in sizes:
        write_years(before, size, date.today())
        rebuild()
        before = size
        told["sizes"][str(size)] = measured()
        print("\n".join(written(size, told["sizes"][str(size)], told["sizes"][str(sizes[0])])), flush=True)
    if "keep" in words:
        kept = json.loads(KEPT.read_text()) if KEPT.exists() else {}
        KEPT.write_text(json.dumps({**kept, connection.vendor: told}, indent=1) + "\n")


def measured() -> dict[str, dict[str, float]]:
    """Every page: processor time [ms], queries, rows read, bytes."""
    from django.contrib.auth.models import User
    from django.test import Client

    owner = User.objects.get(username="hedda")
    User.objects.filter(pk=owner.pk).update(is_staff=True, is_superuser=True)
    client = Client()
    client.force_login(owner)
    limit = _timed(_limit)
    found = {"limit": {"ms": limit, "ms_written": limit, "queries": 1, "rows": 0, "bytes": 0}}
    for name, page in PAGES.items():
        asked = _address(page)
        one = Client() if name == "sign-in page" else client
        found[name] = {
            "ms": _timed(lambda one=one, asked=asked: _get(one, asked)),
            "ms_written": _after_a_write(lambda one=one, asked=asked: _get(one, asked)),
            "queries": len(_queries(one, asked)),
            "rows": _rows_read(one, asked),
            "bytes": len(_get(one, asked).content),
        }
    return found


def written(size: int, now: dict[str, Any], first: dict[str, Any]) -> list[str]:
    """Write a line a page: what it costs, as a multiple of the limit, and of what it cost at the first size."""
    lines = [
        f"\n{size:,} orders{'':16}{'ms':>9}{'written':>9}{'× limit':>9}"
        f"{'queries':>9}{'rows':>10}{'KB':>7}{'× ms':>8}{'× rows':>8}"
    ]
    for name, one in now.items():
        then = first[name]
        grown = f"{one['ms'] / then['ms']:8.2f}{one['rows'] / max(then['rows'], 1):8.2f}"
        limit = one["ms"] / now["limit"]["ms"]
        lines.append(
            f"{name:28}{one['ms']:9.2f}{one['ms_written']:9.0f}{limit:9.0f}"
            f"{one['queries']:9}{one['rows']:10}{one['bytes'] / 1024:7.0f}{grown}"
        )
    return lines


def _timed(call: Callable[[], Any]) -> float:
    """The median of some runs after one that warms up [ms of processor time]."""
    call()
    taken = []
    for _ in range(RUNS):
        gc.collect()
        began = time.process_time()
        call()
        taken.append((time.process_time() - began) * 1000)
    return median(taken)


def _after_a_write(call: Callable[[], Any]) -> float:
    """What the first reader costs after somebody wrote anything [ms of processor time]."""
    from django.contrib.auth.models import User

    User.objects.filter(username="ama").update(last_name="Darrow")
    began = time.process_time()
    call()
    return (time.process_time() - began) * 1000


def _limit() -> bytes:
    """Fifty orders by one raw query, and an answer of thirty thousand bytes."""
    from django.db import connection
    from django.http import HttpResponse

    sql = (
        "SELECT o.id, o.number, o.reference, o.ordered_on, s.name FROM orders_order o "
        "JOIN orders_supplier s ON s.id = o.supplier_id ORDER BY o.ordered_on DESC, o.id DESC LIMIT 50"
    )
    with connection.cursor() as cursor:
        cursor.execute(sql)
        text = "".join(map(str, cursor.fetchall()))
    return HttpResponse(text.ljust(30_000)).content


def _get(client: Any, address: str) -> Any:
    response = client.get(address)
    assert response.status_code == 200, (address, response.status_code)
    return response


def _address(page: str) -> str:
    from shop.jobs.models import Job
    from shop.jobs.standing import open_jobs
    from shop.orders.models import Order, Supplier
    from specs.models import Dimension

    rows = {
        "job": open_jobs(Job.objects.all()).order_by("pk"),
        "order": Order.objects.order_by("pk"),
        "supplier": Supplier.objects.filter(name="Torvik 0"),
        "dimension": Dimension.objects.filter(name="width 0"),
    }
    return rows[page].first().get_absolute_url() if page in rows else page


def _queries(client: Any, address: str) -> list[str]:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as captured:
        _get(client, address)
    return [query["sql"] for query in captured.captured_queries]


def _rows_read(client: Any, address: str) -> int:
    from django.db import connection

    from tests.queries import sqlite_steps

    if connection.vendor == "postgresql":
        return sum(_scanned(sql) for sql in _queries(client, address) if sql.startswith("SELECT"))
    return sqlite_steps(lambda: _get(client, address), STEP)


def _scanned(sql: str) -> int:
    """The rows that the scans of a query went through, by PostgreSQL's own count."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN (ANALYZE, FORMAT JSON) {sql}")
        (plans,) = cursor.fetchone()
    return _rows_of(plans[0]["Plan"])


def _rows_of(node: dict[str, Any]) -> int:
    own = node["Actual Rows"] + node.get("Rows Removed by Filter", 0) if "Scan" in node["Node Type"] else 0
    return int(own * node["Actual Loops"]) + sum(_rows_of(below) for below in node.get("Plans", ()))


if __name__ == "__main__":
    main(sys.argv[1:])

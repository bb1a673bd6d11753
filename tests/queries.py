"""Counting the queries of a page, and what the database does for them. A list page asserts the same for 1 row and 20.

SQLite counts the instructions of its virtual machine (`sqlite3.Connection.set_progress_handler`), PostgreSQL the rows
that the scans of a plan went through (EXPLAIN ANALYZE, PostgreSQL manual 14.1).
"""

import json
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any
from unittest.mock import patch

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.jobs import resting, standing


def queries_of(client: Client, address: str) -> list[str]:
    """The SQL that the page runs, in order; the page must answer 200.

    Jobs are read in lots by their numbers, and on PostgreSQL the numbers go on from test to test: here all are one lot,
    or two jobs on either side of a limit are asked about twice.
    """
    with all_in_one_lot(), CaptureQueriesContext(connection) as captured:
        response = client.get(address)
    assert response.status_code == 200, response
    return [query["sql"] for query in captured.captured_queries]


@contextmanager
def all_in_one_lot() -> Iterator[None]:
    sizes = [
        (standing, "BATCH"),
        (standing, "JOBS"),
        *((resting, name) for name in ("JOBS", "MANY_JOBS", "MANY_STEPS")),
    ]
    with ExitStack() as stack:
        for module, name in sizes:
            stack.enter_context(patch.object(module, name, 10**9))
        yield


def sqlite_steps(act: Callable[[], Any], each: int) -> int:
    """How often SQLite's virtual machine ran through so many instructions while something was done."""
    counted = [0]

    def count() -> int:
        counted[0] += 1
        return 0

    connection.connection.set_progress_handler(count, each)
    try:
        act()
    finally:
        connection.connection.set_progress_handler(None, each)
    return counted[0]


def rows_read(act: Callable[[], Any]) -> int:
    """How many rows the scans of PostgreSQL went through while something was done; each question is put twice."""
    counted = [0]

    def count(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        if sql.startswith("SELECT") and not many:
            with connection.connection.cursor() as cursor:
                (told,) = cursor.execute(f"EXPLAIN (ANALYZE, TIMING OFF, FORMAT JSON) {sql}", params).fetchone()
            plans = json.loads(told) if isinstance(told, str) else told
            counted[0] += _scanned(plans[0]["Plan"])
        return execute(sql, params, many, context)

    with connection.execute_wrapper(count):
        act()
    return counted[0]


def _scanned(node: dict[str, Any]) -> int:
    taken = node["Actual Rows"] + node.get("Rows Removed by Filter", 0) + node.get("Rows Removed by Index Recheck", 0)
    own = taken * node["Actual Loops"] if "Relation Name" in node else 0
    return int(own) + sum(map(_scanned, node.get("Plans", ())))


@contextmanager
def as_of_many_rows() -> Iterator[None]:
    """Have PostgreSQL plan for few rows as it does for many: it reads a small table whole, whatever its indexes."""
    small = ("enable_seqscan", "enable_hashjoin", "enable_mergejoin") if connection.vendor == "postgresql" else ()
    with connection.cursor() as cursor:
        for setting in small:
            cursor.execute(f"SET {setting} = off")
        try:
            yield
        finally:
            for setting in small:
                cursor.execute(f"RESET {setting}")

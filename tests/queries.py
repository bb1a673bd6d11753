"""Counting the queries of a page, and what SQLite does for them. A list page asserts the same for 1 row and for 20."""

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

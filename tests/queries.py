"""Counting the queries of a page. A list page asserts the same number for 1 row and for 20."""

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext


def queries_of(client: Client, address: str) -> list[str]:
    """The SQL that the page runs, in order; the page must answer 200."""
    with CaptureQueriesContext(
        connection,
    ) as captured:
        response = client.get(address)
    assert response.status_code == 200, response
    return [query["sql"] for query in captured.captured_queries]

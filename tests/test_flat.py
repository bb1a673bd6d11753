"""What a page reads from the database does not grow with the shop's years, and no page is left out.

Work is counted as SQLite counts it: instructions of its virtual machine (`sqlite3.Connection.set_progress_handler`).
Pages are asked a second time: the first reader after a change reads the orders of the suppliers that it concerns.
"""

from datetime import date, timedelta

import pytest
from django.conf import settings
from django.test import Client

from shop.base.search_index import differences
from shop.orders import queries as order_queries
from shop.orders.import_batches import write_orders
from shop.orders.importing import look
from shop.orders.models import Order, Supplier
from shop.orders.order_table import read
from tests.queries import queries_of, sqlite_steps

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif("sqlite" not in settings.DATABASES["default"]["ENGINE"], reason="counts as SQLite counts"),
]

TODAY = date(2026, 3, 2)
FEW, MANY = 60, 600
MOST_GROWTH, SLACK = 1.5, 2_000
STEP = 50

PAGES = (
    "/orders/",
    "/orders/?words=rare",
    "/search/?q=rare",
    "supplier",
    "/planning/late/",
    "order",
    "/orders/new/",
    "/jobs/",
    "/",
    "/planning/ready/",
    "/planning/forecast/",
    "/orders/suppliers/",
)


def history_of(count: int, first: int) -> str:
    """Orders of past years, all delivered."""
    days = [TODAY - timedelta(days=100 + at % 700) for at in range(first, first + count)]
    rows = [f"Nuvo {at % 4},R-{first + at},{day},clutch kit {at},1,9,{day},{day}" for at, day in enumerate(days)]
    return "\n".join(["supplier,reference,ordered_on,part,quantity,price,first_promised,delivered_on", *rows])


def bring_in(people, count: int, first: int = 0) -> None:
    orders = look(read(history_of(count, first)), TODAY).orders
    steps = write_orders(orders=orders, person=people["owner"], today=TODAY, sleep=lambda _: None)
    assert list(steps)[-1].is_complete


def work_of(client: Client, address: str) -> int:
    """How much SQLite does for a page."""

    def ask() -> None:
        assert client.get(address).status_code == 200

    return sqlite_steps(ask, STEP) * STEP


def asked_again(client: Client, address: str) -> tuple[int, int]:
    """The work and the number of queries of a page that was asked for before."""
    queries_of(client, address)
    return work_of(client, address), len(queries_of(client, address))


def address_of(page: str) -> str:
    records = {"supplier": Supplier.objects.order_by("pk"), "order": Order.objects.order_by("pk")}
    return records[page].first().get_absolute_url() if page in records else page


def test_what_a_page_reads_stays_the_same_over_the_years(owner, people, monkeypatch):
    monkeypatch.setattr(order_queries, "MOST_COUNTED", 10)  # so that these few are many to count
    bring_in(people, FEW)
    before = {page: asked_again(owner, address_of(page)) for page in PAGES}
    bring_in(people, MANY - FEW, FEW)
    # Search stays flat because it asks an index, not because what came in is missing from it.
    assert [wrong for wrong in differences() if "auth.user" not in wrong] == []
    grown = set()
    for page in PAGES:
        work, queries = before[page]
        more_work, more_queries = asked_again(owner, address_of(page))
        assert more_queries == queries, page
        if more_work > MOST_GROWTH * work + SLACK:
            grown.add(page)
    assert grown == set(), "these read more as orders gather"

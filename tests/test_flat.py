"""What a page reads from the database does not grow with the shop's years, and no page is left out.

Work is counted as the database counts it (`tests.queries`).
Pages are asked a second time: the first reader after a change reads the orders of the suppliers that it concerns.
"""

from collections.abc import Callable
from datetime import date, timedelta
from inspect import unwrap
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone

from shop.base import lists, paging
from shop.base.search_index import differences
from shop.jobs.models import Job, Step
from shop.measuring.views import dimension
from shop.orders import queries as order_queries
from shop.orders.import_batches import write_orders
from shop.orders.importing import look
from shop.orders.models import Order, Supplier
from shop.orders.order_table import read
from shop.orders.views import supplier
from shop.vehicles.models import Customer, Vehicle
from specs.models import Dimension, Measurement
from tests.addresses import addresses
from tests.benchmarks.lists import LISTS as EVERY_LIST
from tests.benchmarks.years_of_work import write_years
from tests.factories.measuring import make_dimension
from tests.factories.people import make_person
from tests.queries import as_of_many_rows, queries_of, rows_read, sqlite_steps

pytestmark = pytest.mark.django_db

TODAY = date(2026, 3, 2)
FEW, MANY = 60, 600
MOST_GROWTH, SLACK = 1.5, {"sqlite": 2_000, "postgresql": 60}
STEP = 50

JOBS, READINGS = (200, 1_000), (60, 400)

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
    "/payables/deliveries/",
    "/payables/deliveries/?page=last",
    "/orders/?page=last",
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


LISTS = (
    "/vehicles/",
    "/vehicles/?page=3",
    "/vehicles/customers/",
    "/vehicles/?page=last",
    "/jobs/",
    "/jobs/?page=last",
    "/jobs/steps/",
    "/jobs/parts/",
    "/measuring/dimensions/",
    "/measuring/readings/",
    "/measuring/readings/?page=last",
    "/measuring/components/",
    "/orders/parts/",
    "dimension",
)


def add_jobs(first: int, last: int, person) -> None:
    """Vehicles of one maker in hand, each with a job of past years, all done."""
    days = [TODAY - timedelta(days=100 + at % 700) for at in range(first, last)]
    customers = Customer.objects.bulk_create(Customer(name=f"Maren {at}") for at in range(first, last))
    vehicles = Vehicle.objects.bulk_create(
        Vehicle(customer=customer, maker="Ostmark", model=f"Kolibri {at:04}")
        for at, customer in enumerate(customers, first)
    )
    jobs = Job.objects.bulk_create(
        Job(vehicle=vehicle, title="New clutch", opened_on=day) for vehicle, day in zip(vehicles, days, strict=True)
    )
    done = {"hours_estimated": 2, "finished_at": timezone.now() - timedelta(days=90), "finished_by": person}
    Step.objects.bulk_create(Step(job=job, position=at, title=f"Step {at}", **done) for job in jobs for at in (0, 1))


def add_readings(first: int, last: int, person) -> None:
    """Readings of one dimension, no two alike in what they allow."""
    dimension = Dimension.objects.first() or make_dimension()
    told = {"dimension": dimension, "typed": "100 mm", "tolerance_typed": "0.05 mm", "instrument": "caliper"}
    Measurement.objects.bulk_create(
        Measurement(
            value=0.1 + at * 1e-7,
            tolerance=5e-5 + at * 2e-7,
            measured_on=TODAY - timedelta(days=at),
            person=person,
            **told,
        )
        for at in range(first, last)
    )


def work_of(client: Client, address: str) -> int:
    """How much the database does for a page."""

    def ask() -> None:
        assert client.get(address).status_code == 200

    return work_of_act(ask)


def work_of_act(act: Callable[[], Any]) -> int:
    if connection.vendor == "sqlite":
        return sqlite_steps(act, STEP) * STEP
    with as_of_many_rows():
        return rows_read(act)


def has_grown(few: int, many: int) -> bool:
    return many > MOST_GROWTH * few + SLACK[connection.vendor]


def have_statistics() -> None:
    """PostgreSQL plans by what it knows of its tables, and looks by itself a minute after they grew."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")


def asked_again(client: Client, address: str) -> tuple[int, int]:
    """The work and the number of queries of a page that was asked for before."""
    queries_of(client, address)
    return work_of(client, address), len(queries_of(client, address))


def address_of(page: str) -> str:
    kinds = {"supplier": Supplier, "order": Order, "dimension": Dimension}
    records = {name: kind.objects.order_by("pk") for name, kind in kinds.items()}
    return records[page].first().get_absolute_url() if page in records else page


def test_what_a_page_reads_stays_the_same_over_the_years(owner, people, monkeypatch):
    monkeypatch.setattr(order_queries, "MOST_COUNTED", 10)  # so that these few are many to count
    monkeypatch.setattr(supplier, "_listed", Supplier.objects.for_list)  # put together anew, with that number
    monkeypatch.setattr(paging, "MOST_COUNTED", 10)
    bring_in(people, FEW)
    have_statistics()
    before = {page: asked_again(owner, address_of(page)) for page in PAGES}
    bring_in(people, MANY - FEW, FEW)
    have_statistics()
    # Search stays flat because it asks an index, not because what came in is missing from it.
    assert [wrong for wrong in differences() if "auth.user" not in wrong] == []
    grown = set()
    for page in PAGES:
        work, queries = before[page]
        more_work, more_queries = asked_again(owner, address_of(page))
        assert more_queries == queries, page
        if has_grown(work, more_work):
            grown.add(page)
    assert grown == set(), "these read more as orders gather"


def test_what_a_list_reads_stays_the_same_over_the_years(owner, people, monkeypatch):
    """Two hundred vehicles and a thousand, with their jobs; sixty readings of a dimension and four hundred."""
    monkeypatch.setattr(paging, "MOST_COUNTED", 30)  # so that these few are more than are counted
    monkeypatch.setattr(dimension, "NEWEST", 20)
    read, before = [], 0
    for jobs, readings in zip(JOBS, READINGS, strict=True):
        add_jobs(before and JOBS[0], jobs, people["fitter"])
        add_readings(before and READINGS[0], readings, people["fitter"])
        before = jobs
        have_statistics()
        read.append({page: asked_again(owner, address_of(page)) for page in LISTS})
    few, many = read
    assert {address: queries for address, (_, queries) in few.items()} == {
        address: queries for address, (_, queries) in many.items()
    }
    grown = {address for address in LISTS if has_grown(few[address][0], many[address][0])}
    assert grown == set(), "these read more as rows gather"


KNOWN_TO_GROW = {
    # Of no returns at all SQLite knows no number, and goes through the orders first.
    "/orders/owed/",
    # What each component has is counted, and what sixty of them have grows with the years.
    "/measuring/components/",
}


def test_every_list_reads_the_same_after_years_of_work_and_paper(owner, monkeypatch):
    """Some orders and four times as many, with their invoices, letters, jobs, sheets, patterns and all else.

    Pages are so short that few fill one as well: what they cost is compared, not what they show.
    """
    monkeypatch.setattr(lists, "PER_PAGE", 10)
    monkeypatch.setattr(paging, "MOST_COUNTED", 30)
    monkeypatch.setattr(order_queries, "MOST_COUNTED", 1)
    monkeypatch.setattr(supplier, "_listed", Supplier.objects.for_list)
    make_person(username="hedda")
    read, before = [], 0
    for orders in (150, 600):
        write_years(before, orders, TODAY)
        before = orders
        read.append({page: asked_again(owner, page) for page in EVERY_LIST.values()})
    few, many = read
    assert {page: queries for page, (_, queries) in few.items()} == {
        page: queries for page, (_, queries) in many.items()
    }
    grown = {page: (few[page][0], many[page][0]) for page in few if has_grown(few[page][0], many[page][0])}
    assert {page: read for page, read in grown.items() if page not in KNOWN_TO_GROW} == {}, "these read more"


def test_no_list_is_left_out():
    """Worksheets are measured beside Today: each is worked out, and none is finished by years that went by."""
    listed = {one.route for one in addresses().values() if "list_page" in unwrap(one.view).__code__.co_names}
    measured = {page.partition("?")[0].strip("/") for page in (*EVERY_LIST.values(), *PAGES, "/worksheets/")}
    assert {route.strip("/") for route in listed} - measured == set()

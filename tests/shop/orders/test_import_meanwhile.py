"""An import beside other people, on connections of their own: nobody waits for it, and two of one file write one."""

import re
import time
from datetime import date, timedelta
from threading import Barrier, Thread

import pytest
from django.db import connection
from django.test import Client

from shop.orders import changes
from shop.orders.import_batches import write_orders
from shop.orders.importing import look
from shop.orders.models import Order, OrderLine, Supplier
from shop.orders.order_table import read
from tests.factories.people import make_person
from tests.pages import collapsed

pytestmark = pytest.mark.django_db(transaction=True)

TODAY = date(2026, 3, 2)
LONGEST_SHARE = 0.5
"""The longest that a colleague may wait, in parts of the whole import: a busy machine slows both. Alone on two cores
the wait is about 0.3 s."""
LONGEST_WORK = 0.5
"""The most that a batch works while it holds the lock [s of this thread's CPU]: what others wait where nobody else has
the machine."""


def file_of(count: int) -> str:
    days = [TODAY - timedelta(days=30 + at % 300) for at in range(count)]
    rows = [f"Supplier {at % 5},R-{at},{day},part {at},1,9.50,{day},{day}" for at, day in enumerate(days)]
    return "\n".join(["supplier,reference,ordered_on,part,quantity,price,first_promised,delivered_on", *rows])


def on_its_own(work, *args) -> Thread:
    def run():
        try:
            work(*args)
        finally:
            connection.close()

    thread = Thread(target=run)
    thread.start()
    return thread


def test_a_colleague_saves_while_a_file_is_written():
    buyer, owner = make_person(username="buyer", roles=["buyer"]), make_person(username="owner", roles=["owner"])
    orders = look(read(file_of(600)), TODAY).orders
    waited: list[float] = []

    def save_in_between():
        for at in range(10):
            began = time.monotonic()
            changes.save_supplier(supplier=Supplier(name=f"Between {at}"), person=owner)
            waited.append(time.monotonic() - began)
            time.sleep(0.05)

    began = time.monotonic()
    steps = write_orders(orders=orders, person=buyer, today=TODAY)
    next(steps)
    colleague = on_its_own(save_in_between)
    told = list(steps)
    assert told[-1].is_complete
    took = time.monotonic() - began
    colleague.join(60)
    assert len(waited) == 10
    assert max(waited) < LONGEST_SHARE * took
    assert max(one.worked for one in told) < LONGEST_WORK
    assert Order.objects.count() == 600


def test_two_imports_of_one_file_at_once_write_one_and_each_is_told():
    people = [make_person(username=name, roles=["buyer"]) for name in ("one", "other")]
    gate, pages = Barrier(2), []

    def send(person):
        client = Client()
        client.force_login(person)
        gate.wait()
        pages.append(collapsed(client.post("/orders/import/", {"text": file_of(200), "write": "yes"}, follow=True)))

    for thread in [on_its_own(send, person) for person in people]:
        thread.join(120)
    assert Order.objects.count() == OrderLine.objects.count() == 200
    assert Supplier.objects.count() == 5
    assert len(pages) == 2
    assert all("left alone" in page or "on record already" in page for page in pages)
    written = [int(told) for page in pages for told in re.findall(r"(\d+) orders were brought in", page)]
    assert sum(written) == 200

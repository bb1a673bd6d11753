"""The page of one thing that somebody insists on is made of what is kept: it asks the database a few questions, no more
when there is more of the thing."""

from collections.abc import Callable

import pytest
from django.utils import timezone

from specs.models import Measurement
from tests.factories.attachments import make_attachment
from tests.factories.orders import make_chase, make_delivery
from tests.factories.plate import make_left_out, make_plate
from tests.queries import queries_of
from tests.shop.home.test_pages_kept import Shop

pytestmark = pytest.mark.django_db(transaction=True)

MOST = 8
MOST_AFTER_A_WRITE = 20
"""What was written is read again; whatever else the page rests on is only asked for, where its table was written."""


def pages(shop: Shop) -> dict[str, str]:
    order = shop.waiting.line.order
    return {
        "order": order.get_absolute_url(),
        "supplier": order.supplier.get_absolute_url(),
        "worksheet": shop.plate.get_absolute_url(),
        **{name: f"/plate/{shop.plate.pk}/{name}/" for name in ("clocking", "bolts", "thickness")},
        "what if": f"/worksheets/{shop.plate.pk}/what-if/",
        "job": shop.waiting.job.get_absolute_url(),
        "step": shop.waiting.mount.get_absolute_url(),
        "vehicle": shop.waiting.job.vehicle.get_absolute_url(),
    }


def asked(shop: Shop) -> dict[str, int]:
    """How many questions each page asks that was made before."""
    for address in pages(shop).values():
        shop.insisting.get(address)
    return {name: len(queries_of(shop.insisting, address)) for name, address in pages(shop).items()}


def test_what_a_page_of_one_thing_asks_stays_little():
    shop = Shop()
    few = asked(shop)
    make_chase(order=shop.waiting.line.order)
    make_attachment(shop.waiting.line.order.supplier, person=shop.person)
    make_left_out(worksheet=shop.plate, person=shop.person)
    shop.waiting.job.worksheets.add(make_plate())
    many = asked(shop)
    assert many == few
    assert {name: count for name, count in many.items() if count > MOST} == {}


def writes(shop: Shop) -> dict[str, Callable[[int], None]]:
    """What is written, another thing each turn."""
    person, readings = (
        type(shop.person).objects.filter(pk=shop.person.pk),
        Measurement.objects.filter(dimension=shop.size),
    )
    return {
        "name": lambda turn: person.update(last_name=f"Darrow {turn}"),
        "reading": lambda turn: readings.update(value=0.05 + turn / 1e6),
        "delivery": lambda turn: make_delivery(line=shop.waiting.line, on=timezone.localdate(), quantity="0.01"),
    }


@pytest.mark.parametrize("page", ["job", "step"])
def test_who_reads_first_after_a_write_has_only_that_read_again(page):
    shop = Shop()
    address, told = pages(shop)[page], {}
    for name, write in writes(shop).items():
        for turn in range(3):
            write(turn)
            told[name] = len(queries_of(shop.insisting, address))
    assert {name: count for name, count in told.items() if count > MOST_AFTER_A_WRITE} == {}, told

"""The index of Search is written with every save, and is at any time what a rebuild would make it."""

from datetime import date
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from shop.base.models import SearchEntry
from shop.base.records import delete_record, restore_record, save_as
from shop.base.search_index import differences, rebuild
from shop.orders.changes import place_order
from shop.orders.models import Order, OrderLine
from shop.people.changes import add_person
from shop.vehicles.models import Customer
from tests.factories.jobs import make_job, make_lesson
from tests.factories.measuring import make_component, make_dimension
from tests.factories.orders import make_line, make_supplier
from tests.factories.vehicles import make_customer, make_vehicle
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(people):
    """A little of everything, found by its words."""
    vehicle = make_vehicle()
    worksheet = make_worksheet()
    made = [vehicle, make_job(vehicle=vehicle), make_component(), make_dimension(), make_lesson(), worksheet]
    made += [make_line(), make_supplier(name="Nuvo")]
    rebuild()
    return vehicle


def test_a_fresh_index_is_right(shop) -> None:
    assert SearchEntry.objects.count() > 8
    assert differences() == []


def test_what_is_saved_is_found_at_once_and_nothing_else_moves(shop, people) -> None:
    customer = save_as(Customer(name="Hollis Vane", phone="020 555 0142"), person=people["owner"])
    assert SearchEntry.objects.get(kind="vehicles.customer", key=customer.pk).name == "hollis vane"
    assert differences() == []


def test_what_a_record_lends_to_others_moves_with_it(shop, people) -> None:
    shop.customer.name = "Quillon Vast"
    save_as(shop.customer, person=people["owner"])
    job = SearchEntry.objects.get(kind="jobs.job", key=shop.jobs.get().pk)
    assert "quillon vast" in job.text
    assert differences() == []


def test_a_line_lends_its_words_to_the_order(shop, people) -> None:
    line = OrderLine.objects.get()
    line.text, line.component = "ring gear, 132 teeth", None
    save_as(line, person=people["owner"])
    assert "132 teeth" in SearchEntry.objects.get(kind="orders.order", key=line.order_id).text
    assert differences() == []


def test_a_deletion_and_its_undoing_are_followed(shop, people) -> None:
    delete_record(shop, person=people["owner"], reason="sold", now=timezone.now())
    entry = SearchEntry.objects.get(kind="vehicles.vehicle", key=shop.pk)
    assert entry.deleted
    restore_record(shop, person=people["owner"])
    entry.refresh_from_db()
    assert not entry.deleted
    assert differences() == []


def test_a_refused_save_moves_nothing(shop, people) -> None:
    before = SearchEntry.objects.count()
    with pytest.raises(Exception, match="registration|customer|maker|blank"):
        save_as(Customer(name=""), person=people["owner"])
    assert SearchEntry.objects.count() == before
    assert differences() == []


def test_people_are_found_who_were_just_added(shop, people) -> None:
    given = {"first_name": "Hollis", "last_name": "Vane", "role": "fitter", "password": "a long one 77"}
    member = add_person(person=people["owner"], username="hollis", **given)
    assert SearchEntry.objects.filter(kind="auth.user", key=member.pk).exists()


def test_an_order_is_found_by_the_lines_it_was_placed_with(shop, people) -> None:
    order = Order(supplier=make_supplier(name="Olmstead"), ordered_on=date(2026, 3, 1), reference="OL-771")
    rebuild()
    lines = [OrderLine(text="gearbox mounts", quantity=2, price=10)]
    placed = place_order(order=order, lines=lines, person=people["buyer"], today=date(2026, 3, 1))
    assert "gearbox mounts" in SearchEntry.objects.get(kind="orders.order", key=placed.pk).text
    assert differences() == []


def test_the_command_says_what_is_not_found_and_makes_it_right(shop) -> None:
    make_customer(name="Behind Its Back")
    with pytest.raises(CommandError, match=r"vehicles\.customer \d+: is not found"):
        call_command("search_index", "--check")
    call_command("search_index", stdout=StringIO())
    call_command("search_index", "--check", stdout=(said := StringIO()))
    assert "Every record is found" in said.getvalue()

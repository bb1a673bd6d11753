"""Orders of a file are written in short batches: nobody waits, nothing is written twice, and an end is no loss."""

from datetime import date, timedelta

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied
from django.db import OperationalError

from shop.base.models import LongWork
from shop.orders import import_batches
from shop.orders.import_batches import HELD, LONG_PAUSE, PAUSE, Progress, write_orders
from shop.orders.importing import look
from shop.orders.models import Order, OrderLine, Supplier
from shop.orders.order_table import read
from tests.factories.orders import make_order, make_supplier
from tests.pages import collapsed

TODAY = date(2026, 3, 2)
HEAD = "supplier,reference,ordered_on,part,quantity,price,first_promised,delivered_on"


def file_of(count: int) -> str:
    days = [TODAY - timedelta(days=30 + at % 300) for at in range(count)]
    rows = [f"Supplier {at % 3},R-{at},{day},part {at},1,9.50,{day},{day}" for at, day in enumerate(days)]
    return "\n".join([HEAD, *rows])


def orders_of(text: str):
    found = look(read(text), TODAY)
    assert not found.errors
    return found.orders


def write(text: str, person: User, **options) -> list[Progress]:
    steps = write_orders(orders=orders_of(text), person=person, today=TODAY, sleep=lambda _: None, **options)
    return list(steps)


@pytest.fixture
def small_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(import_batches, "LARGEST_BATCH", 10)
    monkeypatch.setattr(import_batches, "PAUSE", 0)
    monkeypatch.setattr(import_batches, "LONG_PAUSE", 0)
    monkeypatch.setattr(import_batches, "HELD", 60)


@pytest.mark.django_db
class TestBatches:
    def test_every_order_is_written_with_its_history_and_number(self, people):
        (*_, last) = write(file_of(50), people["buyer"])
        assert last == Progress(total=50, written=50)
        order = Order.objects.get(reference="R-7")
        assert order.history.get().history_user == people["buyer"]
        line = order.lines.get()
        assert line.history.get().history_user == people["buyer"]
        assert line.promises.get().history.count() == line.deliveries.get().history.count() == 1
        assert order.version == line.version == 1
        numbers = list(Order.objects.filter(ordered_on__year=2025).order_by("pk").values_list("number", flat=True))
        assert numbers == [f"2025-{at + 1:03d}" for at in range(len(numbers))]

    def test_its_numbers_go_on_from_those_of_the_year(self, people):
        make_order(number="2025-041", ordered_on=date(2025, 6, 1))
        write(file_of(60), people["buyer"])
        assert Order.objects.filter(number="2025-042").exists()

    @pytest.mark.usefixtures("small_batches")
    def test_what_was_ended_half_way_goes_on_where_it_stopped(self, people):
        steps = write_orders(orders=orders_of(file_of(35)), person=people["buyer"], today=TODAY)
        assert next(steps).done == 10
        steps.close()
        assert Order.objects.count() == OrderLine.objects.count() == 10
        (*_, last) = write(file_of(35), people["buyer"])
        assert last.written == 25
        assert Order.objects.count() == OrderLine.objects.count() == 35

    @pytest.mark.usefixtures("small_batches")
    def test_what_somebody_else_wrote_meanwhile_is_left_alone_and_counted(self, people):
        orders = orders_of(file_of(30))
        write(file_of(12), people["owner"])
        (*_, last) = write_orders(orders=orders, person=people["buyer"], today=TODAY)
        assert last == Progress(total=30, written=18, left_alone=12)
        assert Order.objects.count() == 30

    def test_a_supplier_of_the_same_name_in_other_letters_is_the_same(self, people):
        make_supplier(name="ÖLWERK nord")
        write(file_of(4).replace("Supplier 1", "Ölwerk Nord"), people["buyer"])
        assert Supplier.objects.filter(name__endswith="ord").count() == 1

    def test_a_number_taken_at_the_same_moment_is_tried_again(self, people, monkeypatch):
        make_order(number="2026-001", ordered_on=TODAY)
        told = iter([1, 2])  # what two imports at once read, before the first of them is done
        monkeypatch.setattr("shop.orders.changes.next_number", lambda year: next(told))
        (last,) = write(f"{HEAD}\nNuvo,R-1,2026-01-05,part,1,9,,", people["buyer"])
        assert last.written == 1
        assert Order.objects.get(reference="R-1").number == "2026-002"

    def test_a_batch_gives_the_lock_back_by_the_clock_and_not_by_its_number(self, people, monkeypatch):
        monkeypatch.setattr(import_batches, "_next_size", lambda size, took: size)
        now = [0.0]
        piece = import_batches._write_piece

        def slow(*arguments):
            now[0] += 0.15 * HELD
            return piece(*arguments)

        monkeypatch.setattr(import_batches, "_write_piece", slow)
        told = write(file_of(70), people["buyer"], clock=lambda: now[0])
        assert [one.done for one in told] == [30, 60, 70], "a fourth piece of ten would have been too long"
        assert [one.held for one in told] == pytest.approx([0.45 * HELD, 0.45 * HELD, 0.15 * HELD])

    def test_a_batch_of_suppliers_that_nobody_knows_adds_each_once_with_its_history(self, people):
        write(file_of(50).replace("Supplier 1", "Nuvo").replace("Supplier 2", "NUVO"), people["buyer"])
        assert sorted(Supplier.objects.values_list("name", flat=True)) == ["Nuvo", "Supplier 0"]
        assert Supplier.objects.get(name="Nuvo").history.get().history_user == people["buyer"]

    def test_the_fitter_may_not(self, people):
        with pytest.raises(PermissionDenied):
            write(file_of(1), people["fitter"])


@pytest.mark.parametrize(
    ("size", "took", "expected"), [(10, HELD / 8, 20), (50, 0.0, 100), (40, HELD / 2, 20), (10, 9, 5)]
)
def test_the_next_piece_is_as_large_as_its_time_allows(size, took, expected):
    assert import_batches._next_size(size, took) == expected


@pytest.mark.parametrize(
    ("of_the_batch", "pause"),
    [
        ({"waited": 0.001, "held": 0.2, "worked": 0.18}, PAUSE),
        ({"waited": 0.05, "held": 0.2, "worked": 0.18}, LONG_PAUSE),  # somebody else was writing
        ({"waited": 0.001, "held": 0.2, "worked": 0.05}, LONG_PAUSE),  # others have the machine
    ],
)
def test_the_lock_is_left_alone_for_longer_where_others_want_it(of_the_batch, pause):
    assert Progress(total=9, **of_the_batch).pause == pause


@pytest.mark.django_db
class TestPage:
    """A long import is followed on a page of its own, goes on when that is left, and can be taken up again."""

    def post(self, client, text):
        return collapsed(client.post("/orders/import/", {"text": text, "write": "yes"}, follow=True))

    @pytest.mark.usefixtures("small_batches")
    def test_it_leads_to_its_page_which_says_what_came_of_it(self, buyer):
        assert "25 orders were brought in, 0 left alone." in self.post(buyer, file_of(25))
        work = LongWork.objects.get()
        assert (work.done, work.total, work.given) == (25, 25, {})
        assert "25 orders were brought in" in collapsed(buyer.get(f"/work/{work.pk}/"))

    @pytest.mark.usefixtures("small_batches")
    def test_a_database_that_stays_locked_is_told_and_the_rest_is_written_by_a_press(self, buyer, monkeypatch):
        written = import_batches._write_piece

        def locked_later(*arguments):
            if Order.objects.exists():
                raise OperationalError("database is locked")
            return written(*arguments)

        monkeypatch.setattr(import_batches, "_write_piece", locked_later)
        page = self.post(buyer, file_of(25))
        assert "Not finished: The database did not answer." in page
        assert "10 of 25 are done." in page
        assert Order.objects.count() == 10
        monkeypatch.setattr(import_batches, "_write_piece", written)
        buyer.post(f"/work/{LongWork.objects.get().pk}/")
        assert Order.objects.count() == 25
        assert "15 orders were brought in, 10 left alone." in LongWork.objects.get().result

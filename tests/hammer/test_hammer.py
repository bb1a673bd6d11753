"""The comparison finds what was lost, half-written or done twice; what was all right it leaves alone."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.contrib.auth.models import User

from shop.orders.import_batches import write_orders
from shop.orders.importing import look
from shop.orders.models import Order, OrderLine
from shop.orders.order_table import read
from shop.vehicles import changes
from shop.vehicles.models import Customer
from tests.hammer.compare import faults_of
from tests.hammer.ledger import Act, File, Ledger, notes_of

TODAY = date(2026, 6, 1)


@pytest.fixture
def told(people: dict[str, User]) -> Ledger:
    """Acknowledged: a record made, changed and deleted, and a file of three orders brought in; a save was refused."""
    owner, ledger, file = people["owner"], Ledger(), File("Supplier 1", 3)
    customer = Customer(name="one")
    for at, (what, mark) in enumerate([("new", "first"), ("save", "second"), ("delete", "third")]):
        if what == "delete":
            changes.delete_customer(customer, person=owner, reason=mark, now=datetime(2026, 6, 1, tzinfo=UTC))
        else:
            customer.phone, customer.address, customer.notes = mark, mark, notes_of(mark)
            changes.save_customer(customer, person=owner)
        ledger.acts.append(Act(what, customer.pk, owner.pk, mark, at, at + 0.5, True))
    ledger.acts.append(Act("save", customer.pk, owner.pk, "refused", 3, 3.5, False))
    found = look(read(file.text()), TODAY)
    *_, progress = write_orders(orders=found.orders, person=owner, today=TODAY, sleep=lambda _: None)
    ledger.files.append(file)
    ledger.written += [(file.supplier, progress.written), (file.supplier, 0)]
    return ledger


def test_what_was_answered_and_what_is_on_record_are_the_same(told: Ledger) -> None:
    assert faults_of(told) == []


def lose_a_save() -> None:
    Customer.history.filter(version=2).delete()


def lose_the_record() -> None:
    Customer.history.all().delete()
    Customer.objects.all().delete()


def tear_a_save() -> None:
    for rows in (Customer.objects.all(), Customer.history.filter(version=3)):
        rows.update(address="")


def bring_back_unasked() -> None:
    for rows in (Customer.objects.all(), Customer.history.filter(version=3)):
        rows.update(deleted_at=None, deleted_by=None, deleted_reason="")


def change_without_history() -> None:
    Customer.objects.update(phone="other")


def write_what_was_refused() -> None:
    for rows in (Customer.objects.all(), Customer.history.filter(version__gt=1)):
        rows.update(phone="refused", address="refused", notes=notes_of("refused"))


def lose_a_line() -> None:
    OrderLine.objects.filter(order__reference="R00001", text="clutch plate").delete()


def bring_in_twice() -> None:
    order = Order.objects.get(reference="R00002")
    order.pk, order.number, order._state.adding = None, "2025-999", True
    order.save()


PLANTED: dict[Callable[[], None], str] = {
    lose_a_save: "its history has [1, 3]",
    lose_the_record: "is gone",
    tear_a_save: "version 3 is half-written",
    bring_back_unasked: "the last answer said not so",
    change_without_history: "is not as its history says",
    write_what_was_refused: "refused, and written all the same",
    lose_a_line: "order R00001 has not its two lines",
    bring_in_twice: "4 orders on record, the file has 3",
}


@pytest.mark.parametrize("plant", PLANTED, ids=lambda plant: plant.__name__)
def test_a_planted_fault_is_found(told: Ledger, plant: Callable[[], None]) -> None:
    plant()
    assert PLANTED[plant] in " ".join(faults_of(told))


def act_again(told: Ledger, **changed: Any) -> None:
    told.acts.append(replace(told.acts[1], **changed))


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"mark": "fourth"}, "lost or written otherwise: ('save', 'fourth'"),
        ({"what": "undo", "mark": "", "began": 4, "ended": 5}, "the last answer said not so"),
    ],
    ids=["a save", "an undo"],
)
def test_an_acknowledged_act_that_is_not_on_record_is_found(told: Ledger, changed: dict[str, Any], words: str) -> None:
    act_again(told, **changed)
    assert words in " ".join(faults_of(told))


def test_an_act_that_nobody_was_told_of_is_found(told: Ledger) -> None:
    del told.acts[1]
    assert "written, and nobody was told: ('save', 'second'" in " ".join(faults_of(told))


def test_an_undo_that_another_one_overtook_may_end_either_way(told: Ledger) -> None:
    act_again(told, what="undo", mark="", began=2.1, ended=2.4)
    assert faults_of(told) == []


def test_an_import_that_was_told_twice_is_found(told: Ledger) -> None:
    told.written.append(("Supplier 1", 3))
    assert "people were told of 6 orders brought in" in " ".join(faults_of(told))

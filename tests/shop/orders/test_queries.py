"""What the queries say of all lines is what the rules say of one: one table of cases, and both must agree."""

from datetime import date
from decimal import Decimal

import pytest

from shop.orders import rules
from shop.orders.models import Cancellation, OrderLine, Return
from tests.factories.orders import make_chase, make_delivery, make_line, make_promise

pytestmark = pytest.mark.django_db

TODAY = date(2026, 5, 10)
DUE = date(2026, 5, 1)
LATER = date(2026, 6, 1)
DELETED = {"deleted_reason": "typed twice", "deleted_at": "2026-05-05T10:00Z"}


def promise(**changes):
    return lambda line: make_promise(line=line, **changes)


def came(quantity, **changes):
    return lambda line: make_delivery(line=line, quantity=Decimal(quantity), on=date(2026, 4, 20), **changes)


def happened(model, quantity, **changes):
    usual = {"on": date(2026, 4, 25), "quantity": Decimal(quantity), "reason": "cracked"}
    return lambda line: model.objects.create(line=line, recorded_by=line.order.ordered_by, **{**usual, **changes})


def answered(on, **changes):
    return lambda line: make_chase(order=line.order, answer="soon", answered_on=on, **changes)


HEARD = date(2026, 4, 26)
"""Just not too long ago for a line without a date."""

CASES = {
    "nothing said": [],
    "due": [promise(latest=DUE)],
    "due today": [promise(latest=TODAY)],
    "yet to come": [promise(latest=LATER)],
    "put off": [promise(latest=DUE), promise(latest=LATER, given_on=date(2026, 4, 30))],
    "brought forward": [promise(latest=LATER), promise(latest=DUE, given_on=date(2026, 4, 2))],
    "typed in the wrong order": [promise(latest=DUE, given_on=date(2026, 4, 30)), promise(latest=LATER)],
    "two of one day": [promise(latest=LATER), promise(latest=DUE)],
    "no date after a date": [promise(latest=DUE), promise(latest=None, given_on=date(2026, 4, 30))],
    "a range that still runs": [promise(earliest=DUE, latest=LATER)],
    "a promise deleted": [promise(latest=DUE), promise(latest=LATER, given_on=date(2026, 4, 30), **DELETED)],
    "all here": [promise(latest=DUE), came(8)],
    "some here": [promise(latest=DUE), came(5)],
    "a delivery deleted": [promise(latest=DUE), came(8, **DELETED)],
    "sent back to be replaced": [promise(latest=DUE), came(8), happened(Return, 2)],
    "sent back for money": [promise(latest=DUE), came(8), happened(Return, 2, to_be_replaced=False)],
    "rest cancelled": [promise(latest=DUE), came(5), happened(Cancellation, 3)],
    "said no date lately": [promise(latest=None, given_on=HEARD)],
    "said no date long ago": [promise(latest=None, given_on=date(2026, 4, 25))],
    "answered lately": [answered(HEARD), answered(date(2026, 4, 1))],
    "answered long ago": [answered(date(2026, 4, 25))],
    "an answer deleted": [answered(HEARD, **DELETED)],
    "the talk about no date deleted": [promise(latest=None, given_on=HEARD, **DELETED)],
    "all here without a date": [came(8)],
    "cancelled after it came": [promise(latest=DUE), came(8), happened(Cancellation, 8)],
}


@pytest.mark.parametrize("story", CASES.values(), ids=CASES.keys())
def test_queries_and_rules_agree(story):
    line = make_line(quantity=Decimal(8))
    for happens in story:
        happens(line)
    told = OrderLine.objects.with_story().get(pk=line.pk).as_rule()
    asked = OrderLine.objects.get(pk=line.pk)
    first = rules.first_promise(told.promises)
    assert asked.left == rules.to_come(told)
    assert asked.expected == rules.expected_on(told.promises)
    assert asked.first_promised == (first.latest if first else None)
    assert asked.promise_count == sum(promise.gives_a_date for promise in told.promises)
    assert OrderLine.objects.overdue(TODAY).filter(pk=line.pk).exists() == rules.is_overdue(told, TODAY)


def test_a_deleted_order_is_never_overdue():
    line = make_line(promised=DUE)
    line.order.deleted_reason, line.order.deleted_at = "ordered twice", "2026-05-05T10:00Z"
    line.order.save()
    assert not OrderLine.objects.overdue(TODAY).exists()

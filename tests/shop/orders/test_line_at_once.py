"""Several people tell of one line at the same moment: its columns say what all of it comes to."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from shop.orders import changes
from shop.orders.line_status import differing
from shop.orders.models import OrderLine
from tests.factories.orders import make_line
from tests.factories.people import make_person
from tests.shop.base.test_two_connections import at_once

pytestmark = pytest.mark.django_db(transaction=True)

TODAY = date(2026, 5, 10)


def test_what_is_said_and_what_comes_at_once_both_count():
    line, who = make_line(quantity=Decimal(4)), {"person": make_person(roles=["owner"]), "today": TODAY}
    later = TODAY + timedelta(days=9)

    def promise():
        lines = OrderLine.objects.with_story().filter(pk=line.pk)
        changes.record_promise(lines=lines, given_on=TODAY, earliest=later, latest=later, **who)

    def deliver():
        changes.record_delivery(line=line, on=TODAY, quantity=Decimal(1), **who)

    at_once(promise, deliver, deliver)
    line.refresh_from_db()
    assert (line.left, line.expected, line.came_on) == (2, later, TODAY)
    assert list(differing(OrderLine.objects.all())) == []

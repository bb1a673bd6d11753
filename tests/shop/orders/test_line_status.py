"""What a line's columns say is what its whole story comes to, whatever happened and was taken back."""

from __future__ import annotations

import os
from datetime import date, timedelta
from decimal import Decimal
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.base.records import restore_record
from shop.orders import changes, rules
from shop.orders.line_status import differing
from shop.orders.models import Cancellation, Chase, Delivery, Order, OrderLine, Promise, Return
from tests.factories.orders import make_line, make_order
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db

TODAY = date(2026, 5, 10)
DAYS = st.integers(1, 120).map(lambda back: TODAY - timedelta(days=back))
PIECES = st.integers(1, 4).map(Decimal)
EVENTS = (Promise, Delivery, Return, Cancellation, Chase)

HAPPENINGS = st.one_of(
    st.tuples(st.just("promise"), DAYS, st.one_of(st.none(), DAYS)),
    st.tuples(st.just("deliver"), DAYS, PIECES),
    st.tuples(st.just("send back"), DAYS, PIECES, st.booleans()),
    st.tuples(st.just("cancel"), DAYS, PIECES),
    st.tuples(st.just("ask"), DAYS, st.one_of(st.none(), DAYS)),
    st.tuples(st.just("take back"), st.sampled_from(EVENTS), st.integers(0, 3)),
    st.tuples(st.just("change line"), PIECES),
    st.tuples(st.just("change day"), DAYS),
    st.tuples(st.just("delete order")),
    st.tuples(st.just("restore order")),
)


class History:
    """Two lines of one order, and a person who does to them what was drawn; what the house refuses is not done."""

    def __init__(self) -> None:
        self.person: User = make_person(roles=["owner"])
        self.order = make_order(ordered_on=TODAY - timedelta(days=125))
        for position in (1, 2):
            make_line(order=self.order, quantity=Decimal(3), position=position)

    @property
    def line(self) -> OrderLine:
        return OrderLine.objects.with_story().filter(order=self.order).order_by("pk").first()

    def happen(self, what: str, *facts) -> None:
        who = {"person": self.person, "today": TODAY}
        match what:
            case "deliver" | "send back" | "cancel":
                self.happen_to_pieces(what, *facts[2:], on=facts[0], quantity=facts[1], **who)
            case "promise":
                lines = OrderLine.objects.with_story().filter(order=self.order)
                said = {"given_on": facts[0], "earliest": facts[1], "latest": facts[1], "words": "as they can"}
                changes.record_promise(lines=lines, **said, **who)
            case "ask":
                answer = {"answer": "soon", "answered_on": facts[1]} if facts[1] else {}
                changes.record_chase(chase=Chase(order=self.order, on=facts[0], **answer), **who)
            case "take back":
                rows = list(facts[0].objects.order_by("pk"))
                if rows:
                    self.take_back_or_restore(rows[facts[1] % len(rows)])
            case "change line":
                line = self.line
                line.quantity = facts[0]
                changes.change_line(line=line, person=self.person)
            case "change day":
                order = Order.objects.get(pk=self.order.pk)
                order.ordered_on = facts[0]
                changes.change_order(order=order, **who)
            case "delete order" | "restore order":
                self.take_back_or_restore(Order.objects.get(pk=self.order.pk))

    def happen_to_pieces(self, what: str, to_be_replaced: bool = True, **event) -> None:
        if what == "deliver":
            changes.record_delivery(line=self.line, **event)
        elif what == "send back":
            changes.send_back(line=self.line, reason="cracked", to_be_replaced=to_be_replaced, **event)
        else:
            changes.cancel_pieces(line=self.line, reason="not needed", **event)

    def take_back_or_restore(self, record) -> None:
        if record.is_deleted:
            restore_record(record, person=self.person)
        else:
            changes.delete_with_reason(record=record, reason="typed twice", person=self.person, now=timezone.now())


def assert_as_told(line: OrderLine) -> None:
    """Each column against the rules, worked out in Python from the whole story."""
    told = line.as_rule()
    first = rules.first_promise(told.promises)
    came = [one.on for one in told.events if one.kind is rules.LineEventKind.DELIVERED]
    gone = [one.on for one in told.events if one.kind is rules.LineEventKind.CANCELLED]
    assert line.left == rules.to_come(told)
    assert line.awaited == (rules.to_come(told) > 0)
    assert line.expected == rules.expected_on(told.promises)
    assert line.first_promised == (first.latest if first else None)
    assert line.promise_count == sum(promise.gives_a_date for promise in told.promises)
    assert (TODAY - line.heard).days == rules.silent_days(told, TODAY)
    assert line.came_on == max(came, default=None)
    assert line.cancelled_on == max(gone, default=None)


EXAMPLES = 12 if os.environ.get("CI") == "true" else 25


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(HAPPENINGS, max_size=12))
def test_the_columns_say_what_the_story_comes_to(db, happenings):
    history = History()
    for what, *facts in happenings:
        try:
            history.happen(what, *facts)
        except ValidationError:
            continue
        finally:
            for line in OrderLine.objects.with_story():
                assert_as_told(line)
    assert list(differing(OrderLine.objects.all())) == []


def test_a_line_that_was_read_before_it_came_is_not_owed_again_when_it_is_saved():
    line = make_line(quantity=Decimal(2))
    read_before = OrderLine.objects.get(pk=line.pk)
    changes.record_delivery(line=line, on=TODAY, quantity=Decimal(2), person=make_person(roles=["owner"]), today=TODAY)
    read_before.price = Decimal(5)
    read_before.save()
    assert read_before.left == OrderLine.objects.get(pk=line.pk).left == 0


def test_the_command_finds_and_mends_a_column_that_somebody_wrote_past_the_program():
    line = make_line(quantity=Decimal(2), promised=date(2026, 5, 1))
    call_command("check_lines", stdout=StringIO())
    OrderLine.objects.filter(pk=line.pk).update(left=0, awaited=False)
    with pytest.raises(CommandError, match="1 lines differ"):
        call_command("check_lines", stdout=StringIO())
    call_command("check_lines", "--mend", stdout=StringIO())
    line.refresh_from_db()
    assert (line.left, line.awaited) == (2, True)
    assert line.history.count() == 1

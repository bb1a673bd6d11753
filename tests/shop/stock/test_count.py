"""Counting the shelf: the record follows the count, and a difference says why."""

import pytest

from shop.stock.models import Movement, Part
from tests.factories.orders import PLACED
from tests.factories.stock import make_movement, make_part
from tests.pages import collapsed, send

pytestmark = pytest.mark.django_db


def count(client, part, counted, *, seen=None, **typed):
    usual = {"counted": counted, "seen": seen or part_of(part).on_shelf, "on": PLACED.isoformat(), "reason": ""}
    return send(client, f"/stock/{part.pk}/count/", **{**usual, **typed})


def part_of(part):
    return Part.objects.with_stock().get(pk=part.pk)


def test_a_count_that_agrees_needs_no_reason(machinist):
    part = make_part(shelf=7)
    assert "Counted" not in count(machinist, part, "7")
    assert (part_of(part).on_shelf, part.movements.count()) == (7, 2)


def test_a_count_that_contradicts_the_record_says_why(machinist):
    part = make_part(shelf=7)
    page = count(machinist, part, "5")
    assert "The record says 7. Say why it is 5" in page
    assert part_of(part).on_shelf == 7
    count(machinist, part, "5", reason="two were stripped")
    assert part_of(part).on_shelf == 5
    assert "two were stripped" in collapsed(machinist.get(part.get_absolute_url()))


def test_who_counted_while_somebody_took_is_asked_again(machinist):
    part = make_part(shelf=7)
    make_movement(part=part, kind="taken", quantity=-2, reason="a bracket")
    page = count(machinist, part, "7", seen="7")
    assert "The record changed meanwhile from 7 to 5" in page
    assert Movement.objects.filter(part=part, kind="counted").count() == 1


def test_nothing_is_counted_ahead(machinist):
    part = make_part(shelf=7)
    assert "That day has not come yet." in count(machinist, part, "7", on="2999-01-01")

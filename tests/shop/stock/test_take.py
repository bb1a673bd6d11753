"""Taking from the shelf: what is reserved for another job stays; a step that got all it needs goes on."""

from contextlib import nullcontext
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.stock.changes import delete_movement
from shop.stock.models import Part
from tests.factories.jobs import make_part_need
from tests.factories.measuring import make_component
from tests.factories.orders import PLACED
from tests.factories.stock import make_part, make_reservation
from tests.pages import collapsed, send
from tests.pseudo import in_pseudo

pytestmark = pytest.mark.django_db


def take(client, part, quantity, need=None, **typed):
    usual = {"quantity": quantity, "part_need": need.pk if need else "", "reason": "", "on": PLACED.isoformat()}
    return send(client, f"/stock/{part.pk}/take/", **{**usual, **typed})


def on_shelf(part):
    return Part.objects.with_stock().get(pk=part.pk).on_shelf


def test_a_step_takes_all_it_needs_and_goes_on(fitter):
    part, need = make_part(shelf=9, place="bin B3"), make_part_need(quantity=Decimal(8))
    take(fitter, part, "8", need)
    need.refresh_from_db()
    assert (on_shelf(part), need.here_on, need.here_note) == (1, PLACED, f"off the shelf, bin B3: {part.number}")


@pytest.mark.parametrize("reads", [nullcontext, in_pseudo])
def test_a_step_waits_again_for_what_is_put_back_in_any_language(owner, people, reads):
    part, need = make_part(shelf=9, place="bin B3"), make_part_need(quantity=Decimal(8))
    with reads():
        take(owner, part, "8", need)
        taken = part.movements.get(kind="taken")
        delete_movement(taken, reason="wrong bin", person=people["owner"], now=timezone.now())
    need.refresh_from_db()
    assert (on_shelf(part), need.here_on) == (9, None)


def test_a_set_that_is_not_whole_is_not_here(fitter):
    part, need = make_part(shelf=9), make_part_need(quantity=Decimal(8))
    take(fitter, part, "5", need)
    need.refresh_from_db()
    assert (on_shelf(part), need.here_on) == (4, None)
    assert "The step needs 3 more." in take(fitter, part, "4", need)


def test_what_is_reserved_for_another_job_is_not_taken(fitter):
    part, mine = make_part(shelf=5), make_part_need()
    kept = make_reservation(part=part, quantity=Decimal(4))
    page = take(fitter, part, "2", mine)
    assert f"1 on the shelf and free; reserved: 4 for {kept.part_need.step.job.vehicle}" in page
    assert on_shelf(part) == 5
    assert "Release" in collapsed(fitter.get(part.get_absolute_url()))


def test_whoever_it_is_reserved_for_takes_it_and_the_reservation_is_over(fitter):
    part = make_part(shelf=5)
    kept = make_reservation(part=part, quantity=Decimal(5), part_need=make_part_need(quantity=Decimal(5)))
    take(fitter, part, "5", kept.part_need)
    kept.refresh_from_db()
    assert (on_shelf(part), kept.deleted_reason) == (0, "taken from the shelf")


def test_no_more_is_taken_than_the_record_has(fitter):
    part = make_part(shelf=2)
    assert "The record says 2 on the shelf. Count it first" in take(fitter, part, "3", reason="a bracket")
    assert "Say what it was taken for" in take(fitter, part, "1")


def test_a_part_of_another_component_does_not_serve_the_step(fitter):
    need = make_part_need(component=make_component(), text="")
    part = make_part(shelf=2)
    page = take(fitter, part, "1", need)
    assert "This is not in the list any more. Choose again." in page
    assert on_shelf(part) == 2

"""Pages of a part."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.jobs.models import PartNeed
from tests.factories.jobs import make_part_need, make_step
from tests.pages import collapsed, delete_by_both, once, send

pytestmark = pytest.mark.django_db


def today():
    return timezone.localdate().isoformat()


def test_a_part_off_the_shelf_lets_its_step_go_and_a_wrong_one_holds_it_again(machinist):
    need = make_part_need(text="clutch hose")
    assert "Waiting for" in collapsed(machinist.get(need.step.get_absolute_url()))
    page = send(machinist, f"/jobs/parts/{need.pk}/here/", same="yes", quantity="1", on=today(), note="shelf 3")
    assert "Waiting for" not in page
    assert "Mark as not received" in page
    page = send(machinist, f"/jobs/parts/{need.pk}/gone/", reason="wrong thread")
    assert "Waiting for" in page
    kept = [(entry.here_note, entry.history_change_reason) for entry in need.history.all()[:2]]
    assert kept == [("", "wrong thread"), ("shelf 3", None)]


@pytest.mark.parametrize(
    ("on", "words"),
    [("20226-01-05", "The year 20226 cannot be right"), ("1026-01-05", "Look at the year: 1026"), ("", "Give a day.")],
)
def test_a_day_that_cannot_be_is_refused_and_the_note_kept(fitter, on, words):
    need = make_part_need()
    page = send(fitter, f"/jobs/parts/{need.pk}/here/", same="yes", quantity="1", on=on, note="off the donor")
    assert words in page
    assert 'value="off the donor"' in page


def test_a_part_is_not_here_tomorrow(fitter):
    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()
    need = make_part_need()
    assert "That day has not come yet." in send(
        fitter, f"/jobs/parts/{need.pk}/here/", same="yes", quantity="1", on=tomorrow, note="shelf"
    )


def test_the_second_to_mark_it_is_told_what_the_first_wrote(fitter, buyer):
    need = make_part_need()
    send(fitter, f"/jobs/parts/{need.pk}/here/", same="yes", quantity="1", on=today(), note="shelf 3")
    page = send(buyer, f"/jobs/parts/{need.pk}/here/", same="yes", quantity="1", on=today(), note="off the donor")
    assert "It was marked as here already: shelf 3" in page
    assert 'value="off the donor"' in page
    need.refresh_from_db()
    assert need.here_note == "shelf 3"


def test_a_part_is_added_to_its_step(fitter):
    step = make_step()
    page = send(fitter, f"/jobs/steps/{step.pk}/parts/new/", text="dowel, hardened", quantity="2")
    assert "dowel, hardened" in page
    assert "Waiting for" in page


@pytest.mark.parametrize("quantity", ["0", "-1", "two", "1e9", ""])
def test_a_quantity_that_cannot_be_is_refused_and_the_words_kept(fitter, quantity):
    page = send(fitter, f"/jobs/steps/{make_step().pk}/parts/new/", text="dowel, hardened", quantity=quantity)
    assert 'id="id_quantity_error"' in page
    assert 'value="dowel, hardened"' in page
    assert not PartNeed.objects.exists()


def test_the_second_to_edit_a_part_sees_both_versions(fitter, buyer):
    need = make_part_need(text="clutch hose")
    address = f"/jobs/parts/{need.pk}/edit/"
    old = {"text": "clutch hose", "quantity": "1", "version": need.version}
    assert fitter.post(address, {**old, "text": "clutch hose, braided"}).status_code == 302
    page = collapsed(buyer.post(address, {**old, "text": "clutch hose, 600 mm"}))
    assert "Yours: <b>clutch hose, 600 mm</b>" in page
    assert "On record: <b>clutch hose, braided</b>" in page


def test_a_part_is_deleted_once_and_the_second_is_told(fitter, buyer):
    need = make_part_need(text="clutch hose")
    told = delete_by_both(fitter, buyer, f"/jobs/parts/{need.pk}/delete/")
    assert "deleted this" in told
    assert "recorded twice" in told
    assert "Waiting for" not in collapsed(fitter.get(need.step.get_absolute_url()))


def test_a_part_needs_a_component_or_words_and_a_quantity(fitter):
    step = make_step()
    url = f"/jobs/steps/{step.pk}/parts/new/"
    for form in ({"component": "", "text": "", "quantity": "1"}, {"component": "", "text": "hose", "quantity": "0"}):
        assert 'class="error' in collapsed(fitter.post(url, form | once()))
    assert not PartNeed.objects.exists()
    assert fitter.post(url, {"component": "", "text": "hose", "quantity": "2"} | once()).status_code == 302
    assert PartNeed.objects.count() == 1

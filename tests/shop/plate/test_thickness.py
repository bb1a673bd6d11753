"""The plate's thickness on one page: threads, heads, dowels, and the axial stack that follows its dimension."""

import pytest
from django.utils import timezone

from shop.base.asked_again import listening
from shop.plate.layout import read_state
from shop.plate.models import PlateMaking
from shop.plate.thickness_page import ThicknessPage, thickness_page
from shop.plate.thickness_text import thickness_verdict
from shop.worksheets.evaluation import worksheet_state
from tests.factories.measuring import make_dimension, make_reading
from tests.factories.plate import make_plate
from tests.factories.print import make_printed
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db


GAP = {
    "finger_height": "50 mm",
    "bellhousing_depth": "150 mm",
    "bearing_height": "100 mm",
    "bearing_stroke": "30 mm",
    "required_travel": "8 mm",
    "disc_wear": "2 mm",
    "lever_ratio": "3",
}


def page(client, sheet):
    return collapsed(client.get(f"/plate/{sheet.pk}/thickness/"))


def measured(mm):
    dimension = make_dimension(name="plate thickness")
    make_reading(dimension=dimension, mm=mm)
    return dimension


def test_threads_heads_and_dowels_stand_with_what_they_ask_for(fitter):
    said = page(fitter, make_plate(inputs={"thickness": "24 mm"}))
    for words in ("Threads M12", "Socket heads M10", "Dowels 12 mm", "15.4 mm", "6082-T6", "Threads M12, worked out"):
        assert words in said
    assert "too thin" not in said
    # Against the strongest bolt of its class, 1.2 · 1040 MPa, an M12 thread needs more than 20 mm of 6082-T6.
    assert "too thin" in page(fitter, make_plate())


def test_choosing_countersunk_heads_changes_the_page_and_the_set_up_sheets(machinist):
    sheet = make_plate()
    address = f"/plate/{sheet.pk}/making/"
    once = collapsed(machinist.get(address)).split('name="once" value="')[1].split('"')[0]
    sent = {"alloy": "S355J2", "head": "countersunk", "grade": "8.8", "floor_mm": "3", "once": once}
    assert machinist.post(address, sent).status_code == 302
    kept = PlateMaking.objects.get()
    assert (kept.head, kept.floor, kept.history.get().history_user.username) == ("countersunk", 3.0, "machinist")
    assert "Countersunk heads M10" in page(machinist, sheet)
    setup = text_of(bytes(make_printed("plate-setup", sheet).pdf))
    # ISO 10642: theoretical dk = 22.4 for M10.
    assert "countersink 90°, Ø22.4" in setup
    assert "counterbore" not in setup
    assert "S355J2" in setup

    stale = {**sent, "alloy": "6082-T6", "version": "1"}
    assert machinist.post(address, stale).status_code == 302
    assert "6082-T6" in collapsed(machinist.post(address, {**stale, "alloy": "7075-T6"}))
    kept.refresh_from_db()
    assert kept.alloy == "6082-T6"


def test_a_hole_with_no_room_for_the_head_takes_the_other_one(machinist):
    sheet = make_plate()
    address = f"/plate/{sheet.pk}/making/"
    asked = collapsed(machinist.get(address))
    once = asked.split('name="once" value="')[1].split('"')[0]
    assert 'value="E-B1"' in asked
    assert 'value="G-B1"' not in asked, "the plate is tapped there: no head sinks into it"
    sent = {"alloy": "6082-T6", "head": "socket", "other_head": ["E-B3"], "grade": "8.8", "floor_mm": "3", "once": once}
    assert "not in the list any more" in collapsed(machinist.post(address, {**sent, "other_head": ["G-B1"]}))
    assert machinist.post(address, sent).status_code == 302
    said = page(machinist, sheet)
    assert "socket cap, counterbored; E-B3 countersunk" in said
    assert "Countersunk heads M10" in said
    assert "Socket heads M10" in said
    setup = text_of(bytes(make_printed("plate-setup", sheet).pdf))
    assert "E-B3 countersunk" in setup
    # ISO 10642: theoretical dk = 22.4 for M10; ISO 4762: dk = 16, the seat 1 mm wider.
    assert "countersink 90°, Ø22.4" in setup
    assert "counterbore Ø17" in setup

    PlateMaking.objects.update(head="countersunk")
    assert "countersunk; E-B3 socket cap, counterbored" in page(machinist, sheet)


def test_the_stack_follows_the_plates_dimension_and_says_at_which_thickness_it_fails(fitter):
    thickness = measured(20)
    sheet = make_plate(inputs={"thickness": thickness})
    make_worksheet({**GAP, "adapter_thickness": thickness}, calculation="release-bearing-gap", title="Bearing gap")
    make_worksheet({**GAP, "adapter_thickness": "20 mm"}, calculation="release-bearing-gap", title="Typed one")
    said = page(fitter, sheet)
    assert "Bearing gap" in said
    assert "Typed one" not in said
    # By the line geometry of the gap: 150 + 20 − 50 − 100 = 20 mm; the stroke left is 30 − 20 − 8 = 2 mm, 0.5 wanted.
    assert "Stroke fails with a plate thicker than 21.5 mm" in said
    assert "No worksheet follows the plate for the pilot and spline engagement." in said


def test_a_typed_thickness_is_told_to_have_no_stack(fitter):
    assert "The thickness is typed." in page(fitter, make_plate())


def test_the_answer_comes_first_and_is_no_better_than_its_reading(fitter):
    """M10 socket heads ask for 15.4 mm: 10 mm of head (ISO 4762), 0.4 below flush and 5 under it (common practice)."""
    thickness = make_dimension(name="plate thickness")
    make_reading(dimension=thickness, mm=15.45, tolerance_mm=0.1)
    said = page(fitter, make_plate(inputs={"thickness": thickness}))
    assert "at least 15.4 mm <small>too close to call</small>" in said
    assert "Too thin for threads M12; the axial stack is not known." in said
    assert "It is 15.45 mm ± 0.1 mm" in said


def test_two_readings_of_the_thickness_that_contradict_leave_it_in_doubt(fitter):
    thickness = measured(30)
    make_reading(dimension=thickness, mm=32)
    said = page(fitter, make_plate(inputs={"thickness": thickness}))
    assert "In doubt whether it is thick enough; the axial stack is not known." in said
    assert "contradict" in said.partition('id="needs"')[0]
    assert "holds</span></td>" not in said


def test_a_plate_of_which_no_need_is_known_is_not_called_thick_enough():
    """Nothing that holds is not everything that holds."""
    plate = read_state(worksheet_state(make_plate()))
    said = thickness_verdict(plate, [], [], True, "metric")
    assert said.headline.startswith("Not known whether it is thick enough for what it holds")
    assert said.mark == "waiting"


@pytest.mark.django_db(transaction=True)
def test_who_reads_of_a_thickness_is_given_what_the_one_before_was_given():
    dimension, today = measured(30), timezone.localdate()
    sheet = make_plate(inputs={"thickness": dimension})
    make_worksheet({**GAP, "adapter_thickness": dimension}, calculation="release-bearing-gap")

    def read() -> ThicknessPage:
        with listening():  # as for a page
            return thickness_page(sheet.pk, "metric", today)

    read()
    first = read()
    assert first.stack
    assert read() is first
    make_reading(dimension=dimension, mm=9)
    assert read().thickness == pytest.approx(0.009)

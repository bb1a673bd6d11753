"""The card of one step: one sheet, whether it may start, its torques large, boxes that a hand can sign in."""

import pytest
from django.utils import timezone

from shop.print.models import PrintedSheet
from tests.factories.jobs import make_job, make_job_torque, make_part_need, make_step, make_step_need
from tests.factories.measuring import make_component, make_pattern, make_torque_spec
from tests.factories.print import make_printed
from tests.pages import collapsed, press
from tests.pdfs import boxes_of, letters_of, reader, text_of
from tests.shop.print.test_torque_sheets import FIGURE, holes

pytestmark = pytest.mark.django_db


def card_of(step, **changes):
    return bytes(make_printed("step-card", step, **changes).pdf)


@pytest.fixture
def step():
    component = make_component(maker="Teskel", name="QZ-5")
    make_pattern(holes(), component=component)
    step = make_step(title="Plate on", text="Oil the dowels.", cautions="Mind the fingers.")
    spec = make_torque_spec(component=component, count=4, place="upper row", **FIGURE)
    make_job_torque(step=step, torque_spec=spec)
    step.required_checks.create(what="Register run-out", specified="0.05 mm")
    return step


def test_it_is_one_sheet_with_the_work_the_holes_and_the_checks(step):
    pdf = card_of(step)
    assert len(reader(pdf).pages) == 1
    said = text_of(pdf)
    for words in (
        "1 Plate on",
        "Mind the fingers.",
        "Oil the dowels.",
        "T1 upper row",
        "Seen from the gearbox side, looking forward",
        "Round 1",
        "Turned with 45 N·m",
        "Register run-out: 0.05 mm",
        "Done: name, date",
        "Second person: name, date",
    ):
        assert words in said


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_figure_is_read_at_arms_length_and_the_boxes_take_a_signature(step, paper):
    pdf = card_of(step, paper=paper)
    assert max(letters_of(pdf, "45 N·m")) >= 20
    boxes = boxes_of(pdf)
    assert sum(wide >= 40 and high >= 12 for wide, high in boxes) >= 8
    ticks = [(wide, high) for wide, high in boxes if 7 <= high < 12]
    assert len(ticks) >= 4
    assert all(wide >= 40 for wide, _ in ticks)


def test_a_step_that_waits_says_so_above_everything(step):
    make_step_need(step, make_step(job=step.job, title="Gearbox out"))
    make_part_need(step=step, text="plate bolts")
    said = text_of(card_of(step))
    assert "DO NOT START YET. Waits for" in said
    assert said.index("DO NOT START YET") < said.index("Mind the fingers.")
    assert "Parts missing: 1 × plate bolts, not ordered yet." in said


def test_a_torque_that_nobody_approved_has_no_figure_rounds_or_boxes():
    step = make_step()
    make_job_torque(step=step, torque_spec=make_torque_spec(published_torque=None))
    said = text_of(card_of(step))
    assert "No approved torque: do not tighten" in said
    for words in ("Round", "Turned with", "Tightened by"):
        assert words not in said


def test_a_doubted_torque_is_no_torque():
    step = make_step()
    spec = make_torque_spec(published_torque=95.0, published_typed="95 N·m", published_source="Manual, p. 12")
    make_job_torque(step=step, torque_spec=spec)
    said = text_of(card_of(step))
    assert "above what this bolt can take" in said
    assert "95 N·m" not in said


def test_a_step_to_be_looked_at_again_says_why(step, people):
    step.finished_at, step.finished_by, step.check_again = timezone.now(), people["fitter"], "the plate was turned"
    step.save()
    assert "LOOK AGAIN BEFORE ANYTHING ELSE. Check again: the plate was turned" in text_of(card_of(step))


def test_a_deleted_step_has_no_card(fitter, step, people):
    step.deleted_at, step.deleted_by, step.deleted_reason = timezone.now(), people["owner"], "twice"
    step.save()
    assert "Nothing is printed of what was deleted: twice." in collapsed(
        press(fitter, f"/print/new/step-card/{step.pk}/", paper="A4")
    )


def test_the_steps_page_leads_to_it(fitter, step):
    page = collapsed(fitter.get(step.get_absolute_url()))
    assert f"/print/new/step-card/{step.pk}/" in page
    assert fitter.get(press(fitter, f"/print/new/step-card/{step.pk}/", paper="A4").url).status_code == 200


def test_several_sets_of_fasteners_stand_on_one_card():
    step = make_step(job=make_job())
    for at in range(4):
        make_job_torque(step=step, torque_spec=make_torque_spec(place=f"row {at}", **FIGURE))
    pdf = card_of(step)
    assert len(reader(pdf).pages) == 1
    assert all(f"T{at + 1} row {at}" in text_of(pdf) for at in range(4))


def test_stages_are_in_the_unit_of_the_figure():
    spec = make_torque_spec(stages=[{"kind": "torque", "typed": "30 Nm", "value": 30.0}], **FIGURE)
    torque = make_job_torque(step=make_step(), torque_spec=spec)
    said = text_of(card_of(torque.step, system="inch"))
    assert "22 lbf·ft" in said
    assert "30 Nm" not in said


def test_a_card_that_waits_for_much_is_still_one_sheet(step):
    for number in range(80):
        make_step_need(
            step=step,
            needs_step=make_step(
                job=step.job, title=f"Step {number} that has to be finished, checked and signed before"
            ),
        )
    pdf = card_of(step)
    assert len(reader(pdf).pages) == 1
    assert "and 77 more" in text_of(pdf)


def test_nothing_is_printed_of_what_was_deleted_nor_of_a_step_of_it(fitter, owner):
    step = make_step()
    card = make_printed("step-card", step)
    press(owner, f"/jobs/{step.job_id}/delete/", reason="entered twice")
    for address in (f"/print/new/step-card/{step.pk}/", f"/print/new/job-card/{step.job_id}/"):
        refused = press(fitter, address, paper="A4")
        assert "Nothing is printed of what was deleted: entered twice." in collapsed(refused)
    assert fitter.get(card.get_absolute_url()).status_code == 410
    assert PrintedSheet.objects.get() == card

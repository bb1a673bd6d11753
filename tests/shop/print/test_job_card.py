"""The job card on paper: what it says, and that it stays as it was printed."""

import re
from datetime import date

import pytest
from django.utils import timezone

from shop.base.records import save_as
from shop.jobs.models import SetAside, StepOverride
from shop.print.changes import lay_out
from shop.print.kinds import sheet_kinds
from shop.print.models import PrintedSheet, PrintIsKept
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_job_torque,
    make_lesson,
    make_part_need,
    make_regulated_item,
    make_sign_off,
    make_step,
    make_step_need,
)
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_reading,
    make_specimen,
    make_torque_spec,
)
from tests.factories.people import make_person
from tests.factories.print import make_printed
from tests.factories.worksheets import make_worksheet
from tests.pdfs import reader, sizes_of, text_of

pytestmark = pytest.mark.django_db


def card_of(job, **changes):
    return bytes(make_printed("job-card", job, **changes).pdf)


def test_it_says_the_vehicle_the_steps_and_what_each_waits_for():
    job = make_job(asked_for="Keep the dashboard as it is.")
    first = make_step(job=job, title="Gearbox out", cautions="48 kg: use the hoist.", text="Drain it first.")
    make_step_need(make_step(job=job, title="Plate on"), first)
    said = text_of(card_of(job))
    for words in (
        job.vehicle.maker,
        job.vehicle.registration,
        job.vehicle.customer.name,
        "Keep the dashboard as it is.",
        "Gearbox out",
        "Caution: 48 kg: use the hoist.",
        "Drain it first.",
        "Open now 1",
        "· ready",
        "Waits for “Gearbox out”",
        "Done: name, date",
    ):
        assert words in said


def test_torques_come_with_grade_condition_source_stages_order_and_boxes():
    spec = make_torque_spec(
        place="plate to block",
        grade="10.9",
        count=4,
        published_torque=60,
        published_typed="60 N·m",
        published_source="Orvane manual, p. 112",
        single_use=True,
        stages=[
            {"kind": "torque", "typed": "20 N·m", "value": 20},
            {"kind": "angle", "typed": "90 deg", "value": 1.57},
        ],
    )
    step = make_step()
    make_job_torque(step=step, torque_spec=spec)
    said = text_of(card_of(step.job))
    for words in (
        "T1 plate to block",
        "4 × M10 10.9, oiled",
        "60 N·m",
        "published as 60 N·m: Orvane manual, p. 112",
        "SINGLE USE: fit new fasteners every time.",
        "Rounds: 20 N·m – 90 deg",
        "No hole pattern on record has just these fasteners: no drawing",
        "Tightened by, date",
        "Checked by, date",
    ):
        assert words in said


def test_a_published_torque_typed_as_nm_prints_with_the_sign_of_every_other_torque():
    spec = make_torque_spec(
        published_torque=60, published_typed="60 Nm", published_source="Orvane manual, p. 112", single_use=False
    )
    step = make_step()
    make_job_torque(step=step, torque_spec=spec)
    said = text_of(card_of(step.job))
    assert "published as 60 N·m: Orvane manual, p. 112" in said
    assert "60 Nm" not in said


def test_a_torque_that_nobody_stands_behind_is_not_printed_as_a_figure():
    step = make_step()
    make_job_torque(step=step, torque_spec=make_torque_spec(published_torque=None))
    said = text_of(card_of(step.job))
    assert "No approved torque: do not tighten" in said


def test_an_accepted_worksheet_is_printed_and_one_out_of_date_is_said_so_in_words():
    fitter = make_person(username="ama", first_name="Ama", last_name="Darrow", roles=["fitter"])
    reach = make_dimension(component=make_component(maker="Teskel", name="T9"), name="reach")
    make_reading(dimension=reach, mm=50)
    job, sheet = make_job(), make_worksheet(inputs={"target": "100", "wrench_length": "400", "extension": reach})
    job.worksheets.add(sheet)
    accept_worksheet(sheet, token=worksheet_state(sheet).token, person=fitter, now=timezone.now())
    said = text_of(card_of(job))
    assert "Set the wrench to 88.889 N·m" in said
    assert "Same as accepted by Ama Darrow on" in said
    assert "Do not rely" not in said
    make_reading(dimension=reach, mm=60, measured_on=date(2026, 4, 1), instrument="caliper")
    said = text_of(card_of(job))
    assert f"Do not rely on these worksheets as they stand: W{sheet.pk}." in said
    assert "Changed since accepted by Ama Darrow" in said
    assert "50.00 mm ± 0.05 mm → 60.00 mm ± 0.05 mm (caliper, Jonas, 1 Apr 2026)" in said


def test_dimensions_come_with_tolerance_datum_and_source_and_say_what_disagrees():
    depth = make_dimension(name="bellhousing depth", datum="front face to rear face")
    make_reading(dimension=depth, mm=88.9)
    make_reading(dimension=depth, mm=89.4, measured_on=date(2026, 4, 1))
    job = make_job()
    SetAside.objects.create(job=job, specimen=make_specimen(component=depth.component), lies_in="shelf 3")
    said = text_of(card_of(job))
    for words in ("bellhousing depth", "front face to rear face", "89.40 mm", "± 0.05 mm", "most recent reading"):
        assert words in said
    assert "Check:" in said
    assert "shelf 3" in said


def test_parts_regulated_items_decisions_and_lessons_are_on_it():
    step = make_step()
    part = make_part_need(step=step, component=make_component(maker="Nuvo", name="Hub 23"))
    make_regulated_item(job=step.job, what="tunnel opened")
    make_decision(job=step.job, question="Which ratios?")
    make_lesson(title="Top bolt from above", text="Through the shifter hole.").components.add(part.component)
    said = text_of(card_of(step.job))
    for words in ("1 × Nuvo Hub 23, not ordered yet", "tunnel opened", "NOT approved yet", "Which ratios?"):
        assert words in said
    assert "Top bolt from above: Through the shifter hole." in said


@pytest.mark.parametrize(
    "words",
    ["stands", "Hot and pressurised", "Brake and fuel lines", "burst", "Welding on a vehicle", "asbestos", "neutral"],
)
def test_the_usual_cautions_are_on_every_card(words):
    assert words in text_of(card_of(make_job()))


def test_what_was_not_checked_and_who_decides_is_on_every_card():
    said = text_of(card_of(make_job()))
    assert "What was not checked:" in said
    assert "Local rules and licensed inspectors decide what may go on the road." in said


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_every_page_has_the_size_of_the_paper_a_title_block_and_its_number(paper, size):
    job = make_job()
    for _ in range(30):
        make_step(job=job, text="A line of work. " * 12)
    pdf = card_of(job, paper=paper)
    pages = reader(pdf).pages
    assert set(sizes_of(pdf)) == {size}
    assert len(pages) >= 3
    for at, page in enumerate(pages, start=1):
        said = page.extract_text()
        assert f"{at} of {len(pages)}" in said
        assert f"J{job.pk}-1" in said
        assert "Legal owner" in said


HOSTILE = '<b>&amp;</b> <img src="file:///etc/passwd"/> </para> ]]> %s {0} \\n'


@pytest.mark.parametrize(
    "words",
    [
        HOSTILE,
        "Снять коробку передач, Ω μ Ж Ђ",
        "変速機を外す 变速箱 변속기",
        "Łódź, Đặng, Ñandú, Çelik",
    ],
)
def test_hostile_and_non_latin_text_prints_intact(words):
    job = make_job(title=words, asked_for=words)
    make_step(job=job, title=words, text=words, cautions=words)
    said = text_of(card_of(job))
    assert re.sub(r"\s", "", said).count(re.sub(r"\s", "", words)) >= 5


def test_right_to_left_text_prints_in_the_order_it_is_read():
    hebrew = "תיבת הילוכים"
    said = text_of(card_of(make_job(asked_for=hebrew)))
    assert hebrew[::-1] in said or hebrew in said


def test_a_character_that_no_face_has_is_spelled_and_not_left_black():
    assert "[U+1F529]" in text_of(card_of(make_job(asked_for="A bolt: \U0001f529")))


def test_a_text_without_any_space_is_broken_and_not_cut_off():
    job = make_job()
    make_step(job=job, text="x" * 3000)
    assert text_of(card_of(job)).count("x") >= 3000


def test_later_edits_do_not_reach_what_was_printed():
    job = make_job(title="As it was")
    printed = make_printed("job-card", job)
    job.title = "As it is now"
    job.save()
    kept = PrintedSheet.objects.get(pk=printed.pk)
    assert "As it was" in text_of(bytes(kept.pdf))
    assert lay_out(sheet_kinds()["job-card"], kept.facts, kept.paper) == bytes(kept.pdf)


def test_what_was_printed_is_neither_changed_nor_deleted():
    printed = make_printed("job-card", make_job())
    printed.title = "Another"
    for forbidden in (
        printed.save,
        printed.delete,
        PrintedSheet.objects.all().delete,
        lambda: PrintedSheet.objects.update(title="Another"),
    ):
        with pytest.raises(PrintIsKept):
            forbidden()


def test_each_print_of_a_job_has_its_own_number():
    job = make_job()
    numbers = [make_printed("job-card", job).number for _ in range(3)]
    assert numbers == [f"J{job.pk}-{at}" for at in (1, 2, 3)]


def test_a_person_who_works_in_inches_gets_them_on_paper():
    step = make_step()
    make_job_torque(step=step)
    said = text_of(card_of(step.job, system="inch"))
    assert "lbf·ft" in said
    assert "85 N·m" in said


def test_what_a_note_sets_strong_is_strong_and_other_stars_stay():
    job = make_job()
    make_step(job=job, title="Interlock", text="Starts **only in neutral**; 3 * 4 ** bolts, 2**3 <b>\n**")
    said = text_of(card_of(job))
    assert "Starts only in neutral; 3 * 4 ** bolts, 2**3 <b>" in said


def test_what_kills_stands_on_the_first_sheet_however_much_the_customer_wrote():
    job = make_job(asked_for="Keep the dashboard as it is. " * 250)
    first = reader(card_of(job)).pages[0].extract_text()
    said = re.sub(r"\s+", " ", first)
    for words in ("What kills", "never on a jack", "can burst", "never as the first thing tried", "Exhaust gas kills"):
        assert words in said


def test_a_step_to_be_checked_again_is_not_printed_as_done_and_its_signature_is_asked_for_again(people):
    job = make_job()
    step = make_step(job=job, title="Final assembly", finished_at=timezone.now(), finished_by=people["fitter"])
    torque = make_job_torque(step=step)
    make_sign_off(step=step, torque=torque, what="x", value=85.0, value_typed="85 N·m", specified_value=80.0)
    said = text_of(card_of(job))
    assert "Check again 1 Final assembly: " in said
    assert "the specified torque changed from 80 N·m to 85 N·m" in said
    assert "SIGN AGAIN: 85 N·m" in said
    assert "done " not in said.split("Final assembly")[-1][:60]
    assert "Tightened by, date" in said


def test_who_changed_what_guards_a_step_and_why_is_printed(people):
    step = make_step(title="Road test", cautions="Extinguisher beside you.")
    step.cautions = ""
    save_as(step, person=people["owner"], reason="the van carries one")
    assert "changed its cautions on" in text_of(card_of(step.job))
    assert "the van carries one" in text_of(card_of(step.job))


def test_a_doubt_stands_in_place_of_the_figure():
    spec = make_torque_spec(published_torque=95.0, published_typed="95 N·m", published_source="Manual, p. 12")
    said = text_of(card_of(make_job_torque(step=make_step(), torque_spec=spec).job))
    assert "above what this bolt can take" in said
    assert "95 N·m" not in said


def test_a_finished_step_is_one_line():
    done = make_step(title="Gearbox out", text="Drain it first.", cautions="48 kg: use the hoist.")
    done.finished_at, done.finished_by = timezone.now(), make_person(username="ama", first_name="Ama", roles=["fitter"])
    done.save()
    said = text_of(card_of(done.job))
    assert "1 Gearbox out, done" in said
    assert "48 kg: use the hoist." not in said
    assert "Drain it first." not in said


def test_the_work_of_a_step_that_waits_is_left_to_its_own_card():
    first = make_step(title="Gearbox out")
    later = make_step(job=first.job, title="Plate on", text="Oil the dowels.", cautions="Mind the fingers.")
    make_step_need(later, first)
    said = text_of(card_of(first.job))
    assert "Oil the dowels." not in said
    assert "Mind the fingers." in said


def first_sheet(job, **changes):
    return " ".join(reader(card_of(job, **changes)).pages[0].extract_text().split())


def test_the_first_sheet_says_what_is_open_and_the_torques_due_next():
    job = make_job()
    steps = [make_step(job=job, title=f"Work {at}", text="A line of work. " * 40) for at in range(3)]
    for before in steps[:3]:
        make_step_need(make_step(job=job, title=f"After {before}"), before)
    make_job_torque(
        step=steps[1], torque_spec=make_torque_spec(place="upper row", published_torque=45.0, published_source="p. 9")
    )
    said = first_sheet(job)
    assert "Open now 3" in said
    for words in ("Work 0", "Work 1", "Work 2", "Torques due next 1", "T1 upper row", "Tightened by, date"):
        assert words in said
    assert "After Work" not in said


def test_where_no_open_step_has_a_torque_those_of_the_step_that_comes_next_are_due():
    first = make_step(title="Gearbox out")
    later = [make_step(job=first.job, title=title) for title in ("Plate on", "Wheels on")]
    for at, step in enumerate(later):
        make_step_need(step, first)
        make_job_torque(step=step, torque_spec=make_torque_spec(place=f"row {at}"))
    said = text_of(card_of(first.job))
    assert "T1 row 0" in said.split("Torques due next 1")[1].split("Other torques 1")[0]
    assert "row 1" in said.split("Other torques 1")[1]


def test_who_went_on_over_something_is_told_apart_from_what_can_hurt(people):
    first = make_step(title="Road test", cautions="Extinguisher beside you.")
    StepOverride.objects.create(
        step=first, act="start", open_points=["no plate"], reason="tried", person=people["owner"], at=timezone.now()
    )
    said = text_of(card_of(first.job))
    assert "Caution: Extinguisher beside you. Changed: " in said
    assert "went on with this open: no plate" in said

"""What no layout was drawn for is printed all the same: whole, on as many sheets as it takes and no more."""

import pytest

from shop.print.kinds import sheet_kinds
from shop.print.letter_facts import read_customer_letter
from shop.print.letter_sheet import draw_letter
from shop.print.plate_tables import names_in_order
from tests.factories.jobs import make_job, make_step
from tests.factories.plate import make_plate
from tests.factories.print import make_customer_letter, make_printed
from tests.pdfs import boxes_of, faces_not_held, letters_of, reader, text_of
from tests.shop.print.hostile import BOLTS, LONG, SCRIPTS, hostile_component, hostile_job, hostile_plate

pytestmark = pytest.mark.django_db


SECOND = pytest.param("Letter", "inch", marks=pytest.mark.desk)


@pytest.mark.parametrize(("paper", "system"), [("A4", "metric"), SECOND])
def test_a_hostile_job_prints_whole(paper, system):
    job = hostile_job()
    card = bytes(make_printed("job-card", job, paper=paper, system=system).pdf)
    said = "".join(text_of(card).split())
    assert "Opennow2" in said
    assert f"{LONG}40" in said
    first = reader(card).pages[0].extract_text()
    assert "What kills" in first
    assert "Torques due next 2" in first
    assert ("45 N·m" if system == "metric" else "33 lbf·ft") in first
    assert SCRIPTS[0].replace(" ", "") in said
    sheets = bytes(make_printed("torque-sheets", job, paper=paper, system=system).pdf)
    assert len(reader(sheets).pages) == 40
    assert f"B-M10-{BOLTS}" in reader(sheets).pages[0].extract_text()
    ticks = [box for box in boxes_of(sheets) if 7 <= box[1] < 12]
    assert len(ticks) == BOLTS
    assert all(wide >= 40 for wide, _ in ticks)
    figure = "45 N·m" if system == "metric" else "33 lbf·ft"
    assert max(letters_of(sheets, figure)) >= 20
    step = job.steps.get(position=21)
    assert len(reader(bytes(make_printed("step-card", step, paper=paper, system=system).pdf)).pages) == 1
    listed = bytes(make_printed("torque-list", job.vehicle, paper=paper, system=system).pdf)
    assert f"{LONG}40" in "".join(text_of(listed).split())


def test_every_sheet_holds_the_faces_that_it_names():
    job = make_job()
    step = make_step(job=job)
    plate = make_plate()
    subjects = {"job": job, "step": step, "worksheet": plate, "vehicle": job.vehicle, "component": hostile_component()}
    for kind in sheet_kinds().values():
        pdf = bytes(make_printed(kind.name, subjects[kind.subject], paper=kind.papers[0]).pdf)
        assert faces_not_held(pdf) == set(), kind.name
    letter = read_customer_letter(make_customer_letter(job, subject=SCRIPTS[3], body="\n\n".join(SCRIPTS)))
    assert faces_not_held(draw_letter(letter, "A4")) == set()


@pytest.mark.desk
def test_a_plate_of_long_names_is_drawn_with_short_ones():
    plate = hostile_plate(make_job())
    said = text_of(bytes(make_printed("plate-drawing", plate, paper="A3").pdf))
    assert "side and number only: E-1 is E-Bellhousing-to-1, G-1 is G-Bellhousing-to-1." in said
    assert said.count("G-30") >= 2
    assert said.count("E-Bellhousing-to-30") == 0
    for paper in ("A4", "Letter"):
        sheets = bytes(make_printed("plate-setup", plate, paper=paper).pdf)
        assert len(reader(sheets).pages) == 3
        assert "E-1 to E-30" in text_of(sheets)


def test_names_that_count_up_are_told_by_the_first_and_the_last():
    assert names_in_order(["E-1", "E-2", "E-3", "E-4", "E-6", "G-7", "G-8"]) == "E-1 to E-4, E-6, G-7, G-8"
    assert names_in_order(["D-left", "D-right", "B9", "B10", "B11", "B12"]) == "D-left, D-right, B9 to B12"

"""What no layout was drawn for is printed all the same: whole, on as many sheets as it takes and no more."""

import pytest

from tests.factories.print import make_printed
from tests.pdfs import boxes_of, letters_of, reader, text_of
from tests.shop.print.hostile import BOLTS, LONG, SCRIPTS, hostile_job

pytestmark = pytest.mark.django_db


SECOND = pytest.param("Letter", "inch", marks=pytest.mark.desk)


@pytest.mark.parametrize(("paper", "system"), [("A4", "metric"), SECOND])
def test_a_hostile_job_prints_whole(paper, system):
    job = hostile_job()
    card = bytes(make_printed("job-card", job, paper=paper, system=system).pdf)
    said = "".join(text_of(card).split())
    assert "Opennow2" in said
    assert f"{LONG}40" in said
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

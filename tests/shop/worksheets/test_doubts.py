"""A reading that a careful person would ask about first is named in verdict, acceptance and print."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.print.sheet_facts import read_worksheet
from shop.worksheets import evaluation
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state, worksheet_statuses
from shop.worksheets.lines import accepted_text
from shop.worksheets.rules import IN_DOUBT, WorksheetState
from tests.factories.jobs import make_job, make_step
from tests.factories.measuring import make_component, make_dimension, make_pattern, make_reading, make_specimen
from tests.factories.people import make_person
from tests.factories.vehicles import make_fitted, make_vehicle
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed

pytestmark = pytest.mark.django_db

TUBE = {"shaft_speed": "3000 rpm", "wall": "2 mm", "outside_diameter": "70 mm"}


@pytest.fixture
def length():
    return make_dimension(component=make_component(kind="propshaft", name="long shaft"), name="length", kind="length")


def shaft(length):
    return make_worksheet(calculation="propshaft-speed", inputs={**TUBE, "length": length}, title="Shaft speed")


def accept(sheet, note="looked at", person=None):
    token = worksheet_state(sheet).token
    return accept_worksheet(
        sheet, token=token, person=person or make_person(roles=["fitter"]), note=note, now=timezone.now()
    )


def read(length, mm=1200, **changes):
    return make_reading(dimension=length, mm=mm, tolerance_mm=changes.pop("tolerance_mm", 0.5), **changes)


def doubts(sheet):
    return " ".join(worksheet_state(sheet).status.doubts)


def test_a_plain_reading_is_in_no_doubt(length):
    read(length)
    state = worksheet_state(shaft(length))
    assert state.status.doubts == ()
    assert [check.verdict for check in state.result.checks] == ["holds"]


def test_a_disputed_pair_never_plainly_holds(length):
    read(length)
    read(length, mm=1210, measured_on=date(2026, 4, 1))
    state = worksheet_state(shaft(length))
    assert "1210 mm and 1200 mm (2 Mar 2026) contradict each other" in doubts(state.worksheet)
    assert [check.verdict for check in state.result.checks] == [IN_DOUBT]


def test_an_old_reading_chosen_over_a_newer_one_is_named_with_its_reason(length):
    old = read(length)
    read(length, mm=1200.4, measured_on=date(2026, 4, 1))
    length.chosen, length.chosen_reason = old, "the shaft was bent since"
    length.save()
    assert "was chosen over the newer 1200.4 mm of 1 Apr 2026, because the shaft was bent since" in doubts(
        shaft(length)
    )


def test_a_reading_outside_the_dimensions_own_limit_is_named(length):
    length.upper_limit, length.upper_limit_typed = 1.1, "1100 mm"
    length.save()
    read(length)
    assert "1200 mm is above the dimension's own limit, 1100 mm" in doubts(shaft(length))


def test_nothing_that_is_read_is_known_exactly(length):
    read(length, tolerance_mm=0)
    assert "± 0 is stated" in doubts(shaft(length))


def test_an_instrument_that_cannot_read_so_finely_is_named(length):
    read(length, tolerance_mm=0.01, instrument="steel tape no. 3")
    assert "steel tape no. 3 reads to ± 0.5 mm at best" in doubts(shaft(length))


def test_a_reading_in_the_other_system_is_named(length):
    read(length, mm=47.2)
    read(length, mm=1200, measured_on=date(2026, 4, 1))
    assert "looks like a reading in the other system of units" in doubts(shaft(length))


@pytest.fixture
def two_pieces(length):
    return [make_specimen(component=length.component, mark=mark) for mark in ("A1", "B2")]


def job_with(sheet, specimen):
    vehicle = make_vehicle()
    make_fitted(vehicle=vehicle, specimen=specimen)
    job = make_job(vehicle=vehicle)
    job.worksheets.add(sheet)
    return job


def test_a_job_takes_the_reading_of_the_piece_that_it_has(length, two_pieces):
    mine, other = two_pieces
    read(length, mm=1200, specimen=mine)
    read(length, mm=1500, specimen=other, measured_on=date(2026, 4, 1))
    sheet = shaft(length)
    assert worksheet_state(sheet).given.length == pytest.approx(1.5)
    job_with(sheet, mine)
    state = worksheet_state(sheet)
    assert state.given.length == pytest.approx(1.2)
    assert state.status.doubts == ()


def test_another_pieces_reading_is_named(length, two_pieces):
    mine, other = two_pieces
    read(length, specimen=other)
    sheet = shaft(length)
    job_with(sheet, mine)
    assert "it was read of no. B2; this job has no. A1" in doubts(sheet)


def test_a_reading_that_does_not_say_of_which_piece_is_named(length, two_pieces):
    read(length)
    sheet = shaft(length)
    job_with(sheet, two_pieces[0])
    assert "it is not said of which piece it was read; this job has no. A1" in doubts(sheet)


def test_a_figure_from_print_is_of_the_kind_and_not_of_a_piece(length, two_pieces):
    read(length, tolerance_mm=0, instrument="maker's data sheet")
    sheet = shaft(length)
    job_with(sheet, two_pieces[0])
    assert doubts(sheet) == ""


def test_a_piece_in_another_vehicle_is_named(length, two_pieces):
    read(length, specimen=two_pieces[1])
    make_fitted(vehicle=make_vehicle(registration="XY 77"), specimen=two_pieces[1])
    sheet = shaft(length)
    make_job().worksheets.add(sheet)
    assert "which is in another vehicle" in doubts(sheet)


def test_a_job_that_was_handed_over_rests_on_what_it_left_with(length, two_pieces):
    read(length, specimen=two_pieces[1])
    sheet = shaft(length)
    job = job_with(sheet, two_pieces[0])
    make_step(job=job, hazard="hands over", finished_at=timezone.now(), finished_by=make_person())
    assert doubts(sheet) == ""


def test_swapping_the_piece_after_acceptance_is_a_change_with_its_cause(length, two_pieces):
    mine, other = two_pieces
    read(length, specimen=other)
    sheet = shaft(length)
    job = job_with(sheet, other)
    accept(sheet)
    assert worksheet_state(sheet).status.holds
    job.vehicle.fitted.update(until=date(2026, 5, 1))
    make_fitted(vehicle=job.vehicle, specimen=mine, place="propshaft")
    (status,) = worksheet_statuses([sheet]).values()
    assert status.state is WorksheetState.CHANGED
    assert status.causes[0].newly_doubted


def test_a_rewritten_datum_is_a_change(length):
    length.datum = "flange to flange"
    length.save()
    read(length)
    sheet = shaft(length)
    accept(sheet)
    length.datum = "centre of joint to centre of joint"
    length.save()
    status = worksheet_state(sheet).status
    assert status.state is WorksheetState.CHANGED
    assert status.causes[0].datum_rewritten


def test_what_is_in_doubt_is_accepted_with_a_reason_that_names_it(length, fitter):
    read(length, tolerance_mm=0)
    sheet = shaft(length)
    with pytest.raises(ValidationError, match="± 0 is stated"):
        accept(sheet, note="")
    record = accept(sheet, note="cut to a drawing")
    assert "In doubt: " in record.note
    assert "cut to a drawing" in record.note
    assert worksheet_state(sheet).status.holds
    printed = accepted_text(record, "metric").checks
    assert "± 0 is stated" in printed[0]
    assert not any(line.endswith("holds") for line in printed)


def test_the_page_and_the_sheet_name_the_doubt_and_say_nowhere_that_it_holds(length, fitter):
    read(length, tolerance_mm=0)
    sheet = shaft(length)
    accept(sheet)
    page = collapsed(fitter.get(sheet.get_absolute_url()))
    assert "In doubt: " in page
    assert "± 0 is stated" in page
    assert "holds" not in page
    facts = read_worksheet(worksheet_state(sheet), None, "metric")
    assert any("± 0 is stated" in line for line in facts.status)
    assert all(words.startswith("in doubt") for _, words in facts.checks)


def test_an_elder_pattern_of_a_face_is_in_doubt():
    face = make_pattern()
    sheet = make_worksheet(calculation="plate-layout", inputs={"engine": face, "thickness": "15 mm"})
    make_pattern(component=face.component, measured_on=date(2026, 5, 1))
    state = worksheet_state(sheet)
    assert any("measured again since" in doubt for origin in state.resolved.origins for doubt in origin.doubts)


def test_a_pattern_whose_datum_was_rewritten_is_a_change():
    face = make_pattern()
    sheet = make_worksheet(calculation="pattern-fit", inputs={"measured": face, "reference": face})
    accept(sheet)
    face.datum = "centre of the crank bore"
    face.save()
    status = worksheet_state(sheet).status
    assert any(cause.datum_rewritten for cause in status.causes)
    assert status.state is WorksheetState.CHANGED


def test_a_figure_typed_beside_another_on_record_is_named():
    gearbox = make_component(name="QZ-5")
    depth = make_dimension(component=gearbox, name="long wrench length")
    make_reading(dimension=depth, mm=165.1)
    typed = {"target": "100 N*m", "extension": "50 mm"}
    sheet = make_worksheet(component=gearbox, inputs={**typed, "wrench_length": "202.3 mm"})
    assert f"typed, although {depth} is on record as 165.1 mm" in doubts(sheet)
    assert doubts(make_worksheet(component=gearbox, inputs={**typed, "wrench_length": "165.1 mm"})) == ""
    assert doubts(make_worksheet(inputs={**typed, "wrench_length": "202.3 mm"})) == ""


def test_a_worksheet_whose_origins_did_not_move_is_not_solved_again(length, monkeypatch):
    read(length)
    sheet = shaft(length)
    accept(sheet)
    monkeypatch.setattr(evaluation, "work_out", lambda sheet: pytest.fail("solved"))
    (status,) = worksheet_statuses([sheet]).values()
    assert status.holds


def test_what_is_tried_on_a_doubtful_reading_does_not_plainly_hold(length, fitter):
    read(length)
    read(length, mm=1210, measured_on=date(2026, 4, 1))
    sheet = shaft(length)
    tried = collapsed(fitter.get(f"/worksheets/{sheet.pk}/what-if/", {"path": "wall", "value": "2.1 mm"}))
    assert '<div class="figure">in doubt</div>' in tried
    instead = collapsed(fitter.get(f"/worksheets/{sheet.pk}/what-if/", {"path": "length", "value": "1200 mm"}))
    assert "holds <small>now: in doubt</small>" in instead


def test_the_page_says_a_doubt_once_and_counts_it_where_it_is_accepted(length, fitter):
    read(length)
    sheet = shaft(length)
    accept(sheet)
    read(length, mm=1210, measured_on=date(2026, 4, 1))
    (doubt,) = worksheet_state(sheet).status.doubts
    page = collapsed(fitter.get(sheet.get_absolute_url()))
    assert page.count(doubt.partition(": ")[2]) == 1
    assert "1 reading is in doubt" in page
    assert "no doubt" not in page

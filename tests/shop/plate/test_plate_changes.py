"""What makes a plate that was accepted a changed one, or one that is not given out."""

from datetime import date

import pytest

from shop.plate.layout import read_state
from shop.plate.models import PlateMaking
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import WorksheetState
from specs.models import Hole, HolePattern
from tests.factories.measuring import make_pattern
from tests.factories.plate import accept, make_left_out, make_plate
from tests.pages import collapsed, words_of

pytestmark = pytest.mark.django_db


def state_of(sheet):
    return worksheet_state(Worksheet.objects.get(pk=sheet.pk)).status.state


@pytest.mark.parametrize(
    ("changes", "state"),
    [
        ({}, WorksheetState.CHANGED),
        ({"face": "another face"}, WorksheetState.SAME),
        ({"measured_on": date(2026, 1, 1)}, WorksheetState.SAME),
        ({"method": HolePattern.Method.MOVED}, WorksheetState.SAME),
    ],
)
def test_a_newer_pattern_of_the_face_is_a_change(changes, state):
    sheet = accept(make_plate())
    face = sheet.inputs.get(path="engine").pattern
    make_pattern(component=face.component, **{"face": face.face, "measured_on": date(2026, 4, 1), **changes})
    assert state_of(sheet) is state


def test_accepted_again_with_the_newer_pattern_in_sight_it_is_the_same():
    sheet = accept(make_plate())
    face = sheet.inputs.get(path="engine").pattern
    make_pattern(component=face.component, face=face.face, measured_on=date(2026, 4, 1))
    assert state_of(accept(sheet)) is WorksheetState.SAME


def dowels_known_to(uncertainty):
    sheet = make_plate()
    Hole.objects.filter(kind="dowel").update(uncertainty=uncertainty)
    return accept(sheet)


def test_dowels_placed_worse_than_their_play_are_refused_with_the_way_out(fitter):
    response = fitter.get(f"/print/{dowels_known_to(0.05).pk}/gearbox.csv")
    page = collapsed(response)
    assert response.status_code == 409
    assert "E-D1 and E-D2 are apart to ± 0.071 mm, their play is 0.011 mm" in page
    assert "drilled and reamed in assembly" in page


def test_dowels_placed_within_their_play_are_reamed(fitter):
    assert fitter.get(f"/print/{dowels_known_to(0.005).pk}/gearbox.csv").status_code == 200


def test_with_one_face_drilled_in_assembly_the_plate_is_given_out(fitter):
    sheet = dowels_known_to(0.05)
    for hole in ("D1", "D2"):
        make_left_out(sheet, side="gearbox", hole=hole, kind="assembly", reason="after the sweep")
    assert fitter.get(f"/print/{sheet.pk}/gearbox.csv").status_code == 409
    accept(sheet)
    response = fitter.get(f"/print/{sheet.pk}/gearbox.csv")
    assert response.status_code == 200
    assert "G-D1" not in response.content.decode()


def test_dowels_of_which_nobody_said_how_well_they_are_placed_are_asked_for(fitter):
    response = fitter.get(f"/print/{dowels_known_to(None).pk}/gearbox.csv")
    assert response.status_code == 409
    assert "E-D1 and E-D2 are placed to nobody said how much" in collapsed(response)
    assert "Say on the hole pattern how well its places are known" in collapsed(response)


def test_a_hole_left_out_or_a_plate_made_otherwise_is_a_change_with_its_cause(fitter):
    sheet = accept(make_plate())
    entry = make_left_out(sheet)
    assert state_of(sheet) is WorksheetState.CHANGED
    told = words_of(fitter.get(sheet.get_absolute_url()))
    assert "Holes left out none E-B3: no access" in told
    accept(sheet)
    entry.delete()
    accept(sheet)
    PlateMaking.objects.create(worksheet=sheet, alloy="S355J2")
    assert state_of(sheet) is WorksheetState.CHANGED


def test_another_title_is_another_statement():
    sheet = accept(make_plate())
    Worksheet.objects.filter(pk=sheet.pk).update(title="Plate for the other engine")
    assert state_of(sheet) is WorksheetState.CHANGED


def test_the_worksheet_reckons_with_the_seats_and_the_names_of_the_sheets(fitter):
    sheet = make_plate()
    plate = read_state(worksheet_state(sheet))
    assert plate.state.found.smallest_ligament == plate.as_cut().found.smallest_ligament
    page = collapsed(fitter.get(sheet.get_absolute_url()))
    assert "E-B1" in page
    assert "engine:B1" not in page


def test_one_set_of_names_on_the_clocking_page(fitter):
    page = collapsed(fitter.get(f"/plate/{make_plate().pk}/clocking/"))
    assert "E-D1" in page
    assert "engine:" not in page

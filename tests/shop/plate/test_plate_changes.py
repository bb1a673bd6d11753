"""What makes a plate that was accepted a changed one, or one that is not given out."""

from datetime import date

import pytest

from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import WorksheetState
from specs.models import Hole, HolePattern
from tests.factories.measuring import make_pattern
from tests.factories.plate import accept, make_left_out, make_plate
from tests.pages import collapsed

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
    assert "engine: D1 and D2 are apart to ± 0.071 mm, their play is 0.011 mm" in page
    assert "drilled and reamed in assembly" in page


def test_dowels_placed_within_their_play_are_reamed(fitter):
    assert fitter.get(f"/print/{dowels_known_to(0.005).pk}/gearbox.csv").status_code == 200


def test_with_one_face_drilled_in_assembly_the_plate_is_given_out(fitter):
    sheet = dowels_known_to(0.05)
    for hole in ("D1", "D2"):
        make_left_out(sheet, side="gearbox", hole=hole, kind="assembly", reason="after the sweep")
    response = fitter.get(f"/print/{sheet.pk}/gearbox.csv")
    assert response.status_code == 200
    assert "G-D1" not in response.content.decode()


def test_one_set_of_names_on_the_clocking_page(fitter):
    page = collapsed(fitter.get(f"/plate/{make_plate().pk}/clocking/"))
    assert "E-D1" in page
    assert "engine:" not in page

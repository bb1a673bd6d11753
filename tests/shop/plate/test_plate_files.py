"""A plate's files: what leaves for the machine says which plate it is and how it stands, or does not leave."""

import csv
import io

import ezdxf
import pytest
from django.utils import timezone

from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from specs.models import Hole
from tests.factories.plate import accept, make_plate
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def address(sheet, form):
    return f"/print/{sheet.pk}/gearbox.{form}"


def drawing_of(response):
    document = ezdxf.read(io.StringIO(response.content.decode()))
    return {entity.dxf.layer for entity in document.modelspace()}, {
        entity.dxf.text for entity in document.modelspace().query("TEXT")
    }


def test_a_plate_that_nobody_accepted_leaves_as_a_marked_drawing_only(fitter):
    sheet = make_plate()
    response = fitter.get(address(sheet, "dxf"))
    layers, texts = drawing_of(response)
    assert layers == {"NOT_TO_BE_CUT"}
    assert "NOT TO BE CUT" in texts
    assert any(f"W{sheet.pk} version 1" in text and "Not accepted yet" in text for text in texts)
    assert "NOT-TO-BE-CUT.dxf" in response.headers["Content-Disposition"]
    refused = fitter.get(address(sheet, "csv"))
    assert refused.status_code == 409
    assert "may not be cut" in collapsed(refused)


def test_a_plate_that_changed_since_it_was_accepted_leaves_as_a_marked_drawing_only(fitter):
    sheet = accept(make_plate())
    Hole.objects.filter(name="B2", kind="tapped").update(x=-101.0)
    assert drawing_of(fitter.get(address(sheet, "dxf")))[0] == {"NOT_TO_BE_CUT"}
    assert fitter.get(address(sheet, "csv")).status_code == 409


@pytest.mark.parametrize("form", ["csv", "dxf"])
def test_a_deleted_plate_leaves_in_no_form(fitter, form):
    sheet = accept(make_plate())
    sheet.deleted_at, sheet.deleted_reason = timezone.now(), "wrong face, do not make"
    sheet.save()
    response = fitter.get(address(sheet, form))
    assert response.status_code == 409
    assert "This plate was deleted: wrong face, do not make" in collapsed(response)


def test_files_of_an_accepted_plate_carry_number_day_and_state(fitter):
    sheet = accept(make_plate())
    rows = list(csv.DictReader(io.StringIO(fitter.get(address(sheet, "csv")).content.decode())))
    assert {row["plate"] for row in rows} == {f"W{sheet.pk} version 1"}
    assert all(row["day"] and "accepted" in row["state"].lower() for row in rows)
    layers, texts = drawing_of(fitter.get(address(sheet, "dxf")))
    assert "DRILL_GEARBOX_SIDE" in layers
    assert any(text.startswith(f"W{sheet.pk} version 1, ") for text in texts)


@pytest.mark.parametrize(
    ("uncertainty", "x"), [(None, "-140.00"), (0.25, "-140.00"), (0.5, "-140.0"), (0.005, "-140.000"), (3.0, "-140")]
)
def test_no_place_has_more_digits_than_its_readings_carry(fitter, uncertainty, x):
    sheet = make_plate()
    Hole.objects.filter(kind="clearance").update(uncertainty=uncertainty)
    accept(sheet)
    response = fitter.get(address(sheet, "csv"))
    rows = list(csv.DictReader(io.StringIO(response.content.decode())))
    assert {row["x_mm"] for row in rows if row["hole"] == "G-B2"} == {x}


def test_a_plate_that_its_own_author_accepted_waits_for_a_second_person(fitter, people):
    sheet = make_plate(person=people["machinist"])
    token = worksheet_state(sheet).token
    accept_worksheet(worksheet=sheet, token=token, person=people["machinist"], now=timezone.now())
    assert drawing_of(fitter.get(address(sheet, "dxf")))[0] == {"NOT_TO_BE_CUT"}
    assert "a second person accepts it too" in collapsed(fitter.get(sheet.get_absolute_url()))
    accept_worksheet(worksheet=sheet, token=token, person=people["fitter"], now=timezone.now())
    assert fitter.get(address(sheet, "csv")).status_code == 200

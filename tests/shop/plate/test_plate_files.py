"""A plate's files: what leaves for the machine says which plate it is and how it stands, or does not leave."""

import csv
import io

import ezdxf
import pytest
from django.utils import timezone

from shop.base.restores import keep_count
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from specs.models import Hole
from tests.factories.plate import accept, make_plate
from tests.factories.print import make_printed
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


def test_a_plate_accepted_over_a_wall_too_thin_is_not_cut(fitter):
    sheet = accept(make_plate(inputs={"ligament": "60 mm"}))
    assert drawing_of(fitter.get(address(sheet, "dxf")))[0] == {"NOT_TO_BE_CUT"}
    refused = fitter.get(address(sheet, "csv"))
    assert refused.status_code == 409
    assert "DO NOT CUT YET: smallest wall" in collapsed(refused)


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
    (number,) = {row["plate"] for row in rows}
    assert number.startswith(f"W{sheet.pk} version 1 ")
    assert all(row["day"] and "accepted" in row["state"].lower() for row in rows)
    layers, texts = drawing_of(fitter.get(address(sheet, "dxf")))
    assert "DRILL_GEARBOX_SIDE" in layers
    assert any(text.startswith(f"{number}, ") for text in texts)


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


def test_two_files_of_different_content_never_share_a_number(fitter):
    sheet = make_plate()

    def numbers():
        texts = drawing_of(fitter.get(address(sheet, "dxf")))[1]
        return {text.split(",")[0] for text in texts if text.startswith("W")}

    before = numbers()
    Hole.objects.filter(name="B2", kind="tapped").update(x=-101.0)
    assert before.isdisjoint(numbers())


def test_after_a_restore_numbers_go_on_above_those_printed(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    sheet = accept(make_plate())
    assert make_printed("plate-setup", sheet).number == f"S{sheet.pk}-1"
    keep_count(1, settings.DATA_DIR)
    assert make_printed("plate-setup", sheet).number == f"S{sheet.pk}-102"

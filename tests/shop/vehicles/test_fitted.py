"""Pages of a fitted."""

from datetime import date

import pytest

from shop.vehicles.models import Fitted
from tests.factories.measuring import make_specimen
from tests.factories.vehicles import make_fitted, make_vehicle
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def test_a_piece_is_fitted_and_taken_out_on_the_page(fitter):
    vehicle, specimen = make_vehicle(), make_specimen()
    form = {"specimen": specimen.pk, "place": "gearbox", "since": "2026-03-02"}
    fitter.post(f"/vehicles/{vehicle.pk}/fit/", form | MARK)
    fitted = Fitted.objects.get()
    assert (fitted.vehicle, fitted.since) == (vehicle, date(2026, 3, 2))
    early = fitter.post(f"/vehicles/fitted/{fitted.pk}/out/", {"until": "2026-03-01"} | MARK | {"once": "x" * 30})
    assert "it cannot come out before that" in early.content.decode()
    fitter.post(f"/vehicles/fitted/{fitted.pk}/out/", {"until": "2026-04-01"} | MARK | {"once": "y" * 30})
    fitted.refresh_from_db()
    assert fitted.until == date(2026, 4, 1)


def test_a_place_that_is_taken_is_refused_beside_the_field(fitter):
    fitted = make_fitted(place="gearbox")
    form = {"specimen": make_specimen().pk, "place": "Gearbox", "since": ""}
    words = fitter.post(f"/vehicles/{fitted.vehicle_id}/fit/", form | MARK).content.decode()
    assert 'id="id_place_error"' in words


def test_an_entry_made_by_mistake_is_deleted_with_a_reason_on_the_page(fitter):
    fitted = make_fitted()
    press(fitter, f"/vehicles/fitted/{fitted.pk}/delete/", reason="other vehicle")
    fitted.refresh_from_db()
    assert fitted.deleted_reason == "other vehicle"
    assert not Fitted.objects.in_now().exists()


def test_a_fitted_piece_is_a_row_with_one_act_and_its_entry_is_deleted_in_a_fold(fitter):
    fitted = make_fitted(place="gearbox")
    page = collapsed(fitter.get(f"/vehicles/{fitted.vehicle_id}/"))
    row = page.split('<span class="mark done">')[1].split("</li>")[0]
    assert '<span class="note">Gearbox · came with the vehicle</span>' in row
    assert f"/vehicles/fitted/{fitted.pk}/out/" in row
    assert f"/vehicles/fitted/{fitted.pk}/delete/" not in row
    fold = page.split("Delete an entry made by mistake")[1].split("</details>")[0]
    assert f"/vehicles/fitted/{fitted.pk}/delete/" in fold


def test_who_may_not_change_the_vehicle_is_offered_no_act_on_its_pieces(machinist):
    fitted = make_fitted()
    page = collapsed(machinist.get(f"/vehicles/{fitted.vehicle_id}/"))
    assert str(fitted.specimen) in page
    assert "/vehicles/fitted/" not in page

"""What a verb refuses stands beside the field it names; nothing is written and nothing typed is lost."""

from typing import Any

import pytest
from django.test import Client

from specs.models import Component
from tests.factories.measuring import make_component

pytestmark = pytest.mark.urls("tests.shop.base.pages_urls")

MARK = "a-mark-that-a-form-was-given-0001"


def form(**changes: Any) -> dict[str, Any]:
    return {"kind": "gearbox", "maker": "Teskel", "name": "T9", "notes": "from a talk", **changes}


def test_a_refused_new_record(fitter: Client) -> None:
    page = fitter.post("/test/picky/new/", form(once=MARK)).content.decode()
    assert '<p class="error" id="id_name_error"><span>T9 was never made.</span>' in page
    assert "Nor was its plate." in page
    assert "from a talk" in page
    assert Component.objects.count() == 0
    assert fitter.post("/test/picky/new/", form(name="T8", once=MARK)).status_code == 302


def test_a_refused_change(fitter: Client) -> None:
    component = make_component(name="QZ-5")
    page = fitter.post(f"/test/picky/{component.pk}/", form(version=1)).content.decode()
    assert "T9 was never made." in page
    assert 'value="T9"' in page
    component.refresh_from_db()
    assert (component.name, component.version) == ("QZ-5", 1)

"""Pages of a specimen."""

from __future__ import annotations

import pytest
from django.urls import reverse

from specs.models import Specimen
from tests.factories.measuring import (
    make_component,
)
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


MARK = "once-token-for-a-test-0001"


def test_a_specimen_is_added_once_by_its_mark(fitter):
    component = make_component()
    address = reverse("measuring:specimen-new", args=[component.pk])
    assert fitter.post(address, {"once": MARK, "mark": "B7"}).status_code == 302
    page = collapsed(fitter.post(address, {"once": MARK.replace("1", "2"), "mark": "B7"}))
    assert "on record for the component already" in page
    assert Specimen.objects.count() == 1


@pytest.mark.parametrize(
    "name",
    [
        "measuring:component",
        "measuring:component-edit",
        "measuring:specimen-new",
        "measuring:specimen-edit",
        "measuring:dimension-new",
        "torque:spec-new",
    ],
)
def test_an_unknown_number_is_a_plain_404(fitter, name):
    assert fitter.get(reverse(name, args=[999_999])).status_code == 404

"""Published tables, a source a row."""

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


def test_a_value_can_be_looked_up_with_its_source(fitter):
    page = fitter.get(reverse("calculate:standards")).content.decode()
    assert reverse("calculate:standards") in fitter.get(reverse("calculate:calculations")).content.decode()
    assert "EN-GJL-250" in page
    assert "ISO 2306 Drills for use prior to tapping screw threads, 1972, table 1 coarse (from memory)" in page

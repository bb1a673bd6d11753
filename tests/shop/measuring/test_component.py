"""Pages of a component."""

from __future__ import annotations

import pytest
from django.urls import reverse

from specs.models import Component
from tests.factories.measuring import (
    make_component,
)
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


MARK = "once-token-for-a-test-0001"


def test_a_component_is_added_and_its_page_shown(fitter):
    sent = {"once": MARK, "kind": "gearbox", "maker": "Teskel", "name": "QZ-5", "notes": "five gears"}
    response = fitter.post(
        reverse(
            "measuring:component-new",
        ),
        sent,
        follow=True,
    )
    page = collapsed(response)
    assert "<h1>Teskel QZ-5</h1>" in page
    assert "Gearbox by Teskel" in page
    assert "five gears" in page
    assert Component.objects.get().history.get().history_user.username == "fitter"


def test_a_second_component_of_the_same_name_is_refused_in_words(fitter):
    make_component(maker="Teskel", name="QZ-5")
    sent = {"once": MARK, "kind": "gearbox", "maker": "Teskel", "name": "QZ-5"}
    page = collapsed(
        fitter.post(
            reverse(
                "measuring:component-new",
            ),
            sent,
        )
    )
    assert "on record already" in page
    assert 'value="QZ-5"' in page


def test_a_stale_change_is_caught_and_both_versions_shown(fitter, machinist):
    component = make_component(notes="")
    address = reverse("measuring:component-edit", args=[component.pk])
    sent = {"version": 1, "kind": "gearbox", "maker": component.maker, "name": component.name}
    assert machinist.post(address, {**sent, "notes": "ears differ"}).status_code == 302
    page = collapsed(fitter.post(address, {**sent, "notes": "has a reverse switch"}))
    assert "ears differ" in page
    assert "has a reverse switch" in page
    assert Component.objects.get().notes == "ears differ"


def test_a_change_without_its_version_is_refused(fitter):
    component = make_component(notes="")
    sent = {"kind": "gearbox", "maker": component.maker, "name": component.name, "notes": "overwritten"}
    fitter.post(reverse("measuring:component-edit", args=[component.pk]), sent)
    assert Component.objects.get().notes == ""


def test_a_list_is_narrowed_by_fragments_and_kind(fitter):
    make_component(kind="engine", maker="Orvane", name="V6-30")
    make_component(kind="gearbox", maker="Teskel", name="QZ-5")
    page = collapsed(
        fitter.get(
            reverse(
                "measuring:components",
            ),
            {"words": "orv", "kind": "engine"},
        )
    )
    assert "V6-30" in page
    assert "QZ-5" not in page


def test_an_empty_list_says_what_to_do_next(fitter):
    assert "Start with the engine and the gearbox" in collapsed(
        fitter.get(
            reverse(
                "measuring:components",
            )
        )
    )

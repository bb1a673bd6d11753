"""Components, specimens and dimensions: adding, changing, listing."""

from __future__ import annotations

import pytest
from django.urls import reverse

from specs.models import Component, Dimension, Specimen
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_pattern,
    make_reading,
    make_specimen,
    make_torque_spec,
)
from tests.pages import text_of
from tests.queries import queries_of

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
    page = text_of(response)
    assert "<h1>Teskel QZ-5</h1>" in page
    assert "Gearbox by Teskel" in page
    assert "five gears" in page
    assert Component.objects.get().history.get().history_user.username == "fitter"


def test_a_second_component_of_the_same_name_is_refused_in_words(fitter):
    make_component(maker="Teskel", name="QZ-5")
    sent = {"once": MARK, "kind": "gearbox", "maker": "Teskel", "name": "QZ-5"}
    page = text_of(
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
    page = text_of(fitter.post(address, {**sent, "notes": "has a reverse switch"}))
    assert "ears differ" in page
    assert "has a reverse switch" in page
    assert Component.objects.get().notes == "ears differ"


def test_a_change_without_its_version_is_refused(fitter):
    component = make_component(notes="")
    sent = {"kind": "gearbox", "maker": component.maker, "name": component.name, "notes": "overwritten"}
    fitter.post(reverse("measuring:component-edit", args=[component.pk]), sent)
    assert Component.objects.get().notes == ""


def test_a_specimen_is_added_once_by_its_mark(fitter):
    component = make_component()
    address = reverse("measuring:specimen-new", args=[component.pk])
    assert fitter.post(address, {"once": MARK, "mark": "B7"}).status_code == 302
    page = text_of(fitter.post(address, {"once": MARK.replace("1", "2"), "mark": "B7"}))
    assert "on record for the component already" in page
    assert Specimen.objects.count() == 1


def test_a_dimension_keeps_its_limits_as_typed_and_in_si(fitter):
    component = make_component()
    sent = {
        "once": MARK,
        "name": "pilot bore",
        "kind": "length",
        "datum": "in the crank flange",
        "lower_limit_typed": "0.590 in",
        "upper_limit_typed": "15,02",
    }
    fitter.post(reverse("measuring:dimension-new", args=[component.pk]), sent)
    dimension = Dimension.objects.get()
    assert dimension.lower_limit == pytest.approx(0.014986)
    assert dimension.upper_limit == pytest.approx(0.01502)
    assert (dimension.lower_limit_typed, dimension.upper_limit_typed) == ("0.590 in", "15,02 mm")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"lower_limit_typed": "3 kg"}, "is a mass, but a length is needed"),
        ({"lower_limit_typed": "2", "upper_limit_typed": "1"}, "upper limit is below the lower"),
        ({"name": "taken"}, "has a dimension of this name already"),
    ],
)
def test_a_dimension_that_cannot_be_is_refused_in_words(fitter, changes, words):
    component = make_component()
    make_dimension(component=component, name="taken")
    sent = {"once": MARK, "name": "pilot bore", "kind": "length", **changes}
    assert words in text_of(fitter.post(reverse("measuring:dimension-new", args=[component.pk]), sent))
    assert Dimension.objects.count() == 1


def test_the_kind_of_a_measured_dimension_stays(fitter):
    dimension = make_reading().dimension
    sent = {"version": 1, "name": dimension.name, "kind": "mass"}
    page = text_of(fitter.post(reverse("measuring:dimension-edit", args=[dimension.pk]), sent))
    assert "add another dimension instead" in page


def test_limits_are_cleared_by_emptying_them(fitter):
    dimension = make_dimension(lower_limit=0.1, lower_limit_typed="100 mm")
    sent = {"version": 1, "name": dimension.name, "kind": "length", "lower_limit_typed": ""}
    fitter.post(reverse("measuring:dimension-edit", args=[dimension.pk]), sent)
    assert Dimension.objects.get().lower_limit is None


def test_a_value_outside_its_limits_is_said(fitter):
    dimension = make_dimension(upper_limit=0.0885, upper_limit_typed="88.5 mm")
    make_reading(dimension=dimension, mm=88.9)
    page = text_of(fitter.get(dimension.component.get_absolute_url()))
    assert "outside the upper limit of 88.5 mm by 0.4 mm" in page


def test_a_value_that_keeps_its_limit_only_if_the_reading_is_right_is_said(fitter):
    dimension = make_dimension(upper_limit=0.08893, upper_limit_typed="88.93 mm")
    make_reading(dimension=dimension, mm=88.9, tolerance_mm=0.05)
    page = text_of(fitter.get(dimension.get_absolute_url()))
    assert "within the upper limit of 88.93 mm only if the reading is right" in page


def _fill(count):
    for _ in range(count):
        component = make_component()
        make_specimen(component=component)
        dimension = make_dimension(component=component)
        make_reading(dimension=dimension)
        make_reading(dimension=dimension, mm=90)
        make_pattern(component=component)
        make_torque_spec(component=component)


@pytest.mark.parametrize(
    "name",
    [
        "measuring:components",
        "measuring:dimensions",
        "torque:specs",
    ],
)
def test_lists_cost_the_same_for_1_and_20_rows(fitter, name):
    _fill(1)
    one = len(queries_of(fitter, reverse(name)))
    _fill(19)
    assert len(queries_of(fitter, reverse(name))) == one


def test_the_component_page_costs_the_same_for_any_number_of_dimensions(fitter):
    component = make_component()
    make_reading(dimension=make_dimension(component=component))
    one = len(queries_of(fitter, component.get_absolute_url()))
    for _ in range(10):
        make_reading(dimension=make_dimension(component=component))
    assert len(queries_of(fitter, component.get_absolute_url())) == one


def test_a_list_is_narrowed_by_fragments_and_kind(fitter):
    make_component(kind="engine", maker="Orvane", name="V6-30")
    make_component(kind="gearbox", maker="Teskel", name="QZ-5")
    page = text_of(
        fitter.get(
            reverse(
                "measuring:components",
            ),
            {"words": "orv", "kind": "engine"},
        )
    )
    assert "V6-30" in page
    assert "QZ-5" not in page


def test_dimensions_never_measured_can_be_listed(fitter):
    make_reading(dimension=make_dimension(name="spigot height"))
    make_dimension(name="dowel height")
    page = text_of(
        fitter.get(
            reverse(
                "measuring:dimensions",
            ),
            {"unmeasured": "true"},
        )
    )
    assert "dowel height" in page
    assert "spigot height" not in page


def test_the_list_comes_as_csv(fitter):
    make_reading(dimension=make_dimension(name="spigot height"))
    content = text_of(
        fitter.get(
            reverse(
                "measuring:dimensions",
            ),
            {"as": "csv"},
        )
    )
    assert "spigot height" in content
    assert "88.90 mm" in content


def test_an_empty_list_says_what_to_do_next(fitter):
    assert "Start with the engine and the gearbox" in text_of(
        fitter.get(
            reverse(
                "measuring:components",
            )
        )
    )


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

"""Pages of a feature."""

from __future__ import annotations

import pytest
from django.urls import reverse

from specs.models import FeatureSize, MatingFeature
from tests.factories.measuring import make_component, make_dimension, make_feature
from tests.pages import collapsed, press
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


MARK = "once-token-for-a-test-0001"


SHAFT = {"major diameter": (25.35, 0.05), "minor diameter": (22.1, 0.05)}


def hub(name, major, minor=22.4, count=22):
    component = make_component(kind="clutch disc", maker="Dunmere", name=name)
    sizes = {"major diameter": (major, 0.05), "minor diameter": (minor, 0.05)}
    return make_feature(sizes, component=component, form="outer", name="hub spline", count=count)


def test_deleted_features_and_the_component_itself_are_left_out(fitter):
    shaft = make_feature(SHAFT)
    make_feature(SHAFT, component=shaft.component, form="outer", name="own hub")
    gone = hub("gone", 25.6)
    address = reverse("measuring:feature-delete", args=[gone.pk])
    assert press(fitter, address, reason="misread").status_code == 302
    fitter.get(gone.get_absolute_url())
    page = collapsed(fitter.get(shaft.get_absolute_url()))
    assert "Nothing of this kind is on record" in page


def add(client, component, **changes):
    sent = {"once": MARK, "kind": "spline", "form": "inner", "name": "input spline", "count": "22", **changes}
    return client.post(reverse("measuring:feature-new", args=[component.pk]), sent)


def test_a_feature_takes_its_sizes_from_the_components_dimensions(fitter):
    component = make_component()
    major = make_dimension(component=component, name="spline major")
    assert add(fitter, component, size_major_diameter=major.pk).status_code == 302
    assert FeatureSize.objects.get().dimension == major


def test_a_dimension_of_another_component_is_refused(fitter):
    assert add(fitter, make_component(), size_major_diameter=make_dimension().pk).status_code == 200
    assert not MatingFeature.objects.exists()


@pytest.mark.parametrize(("kind", "form"), [("spline", "face"), ("bolt circle", "inner")])
def test_inner_and_outer_must_go_with_the_kind(fitter, kind, form):
    assert "meet face to face" in collapsed(add(fitter, make_component(), kind=kind, form=form))


def test_a_second_feature_of_one_name_is_refused_in_words(fitter):
    component = make_component()
    make_feature(component=component, name="input spline")
    assert "of this name already" in collapsed(add(fitter, component))


def test_changing_the_sizes_keeps_their_history(fitter):
    shaft = make_feature(SHAFT)
    other = make_dimension(component=shaft.component, name="another reading place")
    address = reverse("measuring:feature-edit", args=[shaft.pk])
    sent = {"version": 1, "kind": "spline", "form": "inner", "name": shaft.name, "count": "22"}
    assert fitter.post(address, {**sent, "size_major_diameter": other.pk}).status_code == 302
    assert {size.role: size.dimension for size in shaft.sizes.all()} == {"major diameter": other}
    assert FeatureSize.history.filter(history_type="-", role="minor diameter").count() == 1


def test_the_list_of_features_names_each_with_its_component(fitter):
    shaft, gone = make_feature(SHAFT), hub("gone", 25.6)
    press(fitter, reverse("measuring:feature-delete", args=[gone.pk]), reason="misread")
    fitter.get("/")
    page = collapsed(fitter.get("/measuring/features/"))
    assert f'href="{shaft.get_absolute_url()}"' in page
    assert str(shaft.component) in page
    assert f'href="{gone.get_absolute_url()}"' not in page


def test_the_list_of_features_costs_the_same_queries_for_one_and_for_twenty(fitter):
    hub("first", 25.6)
    one = len(queries_of(fitter, "/measuring/features/"))
    for at in range(19):
        hub(f"no. {at}", 25.6)
    assert len(queries_of(fitter, "/measuring/features/")) == one


def test_a_filter_that_makes_no_sense_shows_a_page_all_the_same(fitter):
    make_feature(SHAFT)
    assert fitter.get("/measuring/features/?kind=submarine&page=x").status_code == 200

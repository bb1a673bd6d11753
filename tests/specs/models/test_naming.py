"""What each record is called, and the page that it leads to."""

from __future__ import annotations

import pytest
from django.urls import reverse

from specs.models import Component, Specimen, Stale
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_feature,
    make_pattern,
    make_reading,
    make_specimen,
    make_torque_spec,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def box():
    return make_component(maker="Teskel", name="QZ-5")


def test_records_are_called_what_the_bench_calls_them(box):
    feature = make_feature({"major diameter": (26.0, 0.05)}, component=box, name="input spline")
    called = [
        str(box),
        str(make_specimen(component=box, mark="0417")),
        str(make_dimension(component=box, name="projection")),
        str(make_reading(dimension=make_dimension(component=box, name="depth"), mm=88.9, tolerance_mm=0.05)),
        str(feature),
        str(feature.sizes.get()),
        str(make_pattern(component=box, face="front face")),
        str(make_pattern(component=box, face="rear face").holes.first()),
        str(make_torque_spec(component=box, place="bellhousing to plate", thread="M10")),
    ]
    assert called == [
        "Teskel QZ-5",
        "Teskel QZ-5 no. 0417",
        "Teskel QZ-5: projection",
        "depth 88.9 mm ± 0.05 mm",
        "Teskel QZ-5: input spline",
        "input spline: major diameter",
        "Teskel QZ-5: front face",
        "D1",
        "Teskel QZ-5: bellhousing to plate, 8 × M10 8.8",
    ]


def test_records_lead_to_the_page_that_shows_them(box):
    dimension, pattern, feature, spec = (
        make(component=box) for make in (make_dimension, make_pattern, make_feature, make_torque_spec)
    )
    at_home = reverse("measuring:component", args=[box.pk])
    assert box.get_absolute_url() == at_home
    assert make_specimen(component=box).get_absolute_url() == at_home
    assert dimension.get_absolute_url() == reverse("measuring:dimension", args=[dimension.pk])
    assert make_reading(dimension=dimension).get_absolute_url() == dimension.get_absolute_url()
    assert pattern.get_absolute_url() == reverse("measuring:pattern", args=[pattern.pk])
    assert feature.get_absolute_url() == reverse("measuring:feature", args=[feature.pk])
    assert spec.get_absolute_url() == reverse("torque:spec", args=[spec.pk])


def test_a_stale_save_says_which_record_and_writes_nothing(box):
    mine, theirs = Component.objects.get(pk=box.pk), Component.objects.get(pk=box.pk)
    theirs.notes = "five speeds"
    theirs.save()
    mine.notes = "four speeds"
    with pytest.raises(Stale, match=f"component {box.pk} was changed meanwhile") as stale:
        mine.save()
    assert stale.value.record is mine
    assert mine.version == 1
    assert Component.objects.get(pk=box.pk).notes == "five speeds"


def test_saving_named_fields_takes_the_version_along(box):
    piece = make_specimen(component=box, mark="A1")
    piece.notes = "cracked ear"
    piece.mark = "not to be saved"
    piece.save(update_fields=["notes"])
    kept = Specimen.objects.get(pk=piece.pk)
    assert (kept.notes, kept.mark, kept.version) == ("cracked ear", "A1", 2)

"""Numbers of a list's rows are counted each by itself."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from specs.models import Component, Dimension, HolePattern
from specs.row_queries import number_of
from tests.factories.measuring import make_component, make_dimension, make_pattern

pytestmark = pytest.mark.django_db


def test_what_belongs_to_a_row_is_counted_without_what_was_deleted_and_without_a_join() -> None:
    component, bare = make_component(name="A"), make_component(name="B")
    for name in ("bore", "depth", "width"):
        make_dimension(component=component, name=name)
    make_pattern(component=component)
    HolePattern.objects.filter(pk=make_pattern(component=component).pk).update(
        deleted_at=timezone.now(), deleted_reason="measured wrongly"
    )
    rows = (
        Component.objects.filter(pk__in=[component.pk, bare.pk])
        .order_by("name")
        .annotate(
            dimensions_held=number_of(Dimension.objects.all(), "component"),
            patterns_held=number_of(HolePattern.objects.active(), "component"),
        )
    )
    with CaptureQueriesContext(connection) as asked:
        assert [(row.dimensions_held, row.patterns_held) for row in rows] == [(3, 1), (0, 0)]
    assert "JOIN" not in asked[0]["sql"]

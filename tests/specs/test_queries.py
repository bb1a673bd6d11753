"""The working value of a dimension, and lists fetched whole."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.models import Dimension, working_value
from specs.queries import (
    component_in_full,
    dimensions_with_readings,
    dimensions_with_working,
    disputed_dimensions,
    features_in_full,
    patterns_in_full,
    usual_values,
    working_values,
)
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_feature,
    make_pattern,
    make_reading,
    make_torque_spec,
)

pytestmark = pytest.mark.django_db


def test_a_dimension_never_measured_has_no_working_value():
    assert working_value(make_dimension()) is None


def test_the_working_value_names_the_reading_it_comes_from():
    reading = make_reading(mm=88.9)
    value = working_value(reading.dimension)
    assert value.value == pytest.approx(0.0889)
    assert value.tolerance == pytest.approx(0.00005)
    assert value.measurement == reading
    assert value.source == "most recent reading, depth gauge, Jonas, 2 Mar 2026"


def test_two_readings_beyond_their_tolerances_are_flagged_and_both_kept():
    dimension = make_dimension()
    first = make_reading(dimension=dimension, mm=88.9, measured_on=date(2026, 1, 5))
    second = make_reading(dimension=dimension, mm=89.4)
    value = working_value(dimension)
    assert value.measurement == second
    assert value.disagrees
    assert value.contradictions == ((second, first),)


def test_a_chosen_reading_counts_and_says_so():
    dimension = make_dimension()
    first = make_reading(dimension=dimension, mm=88.9, measured_on=date(2026, 1, 5))
    make_reading(dimension=dimension, mm=88.95)
    dimension.chosen, dimension.chosen_reason = first, "measured on the surface plate"
    dimension.save()
    value = working_value(dimension)
    assert value.measurement == first
    assert value.chosen
    assert value.source.startswith("chosen reading")


@pytest.mark.parametrize("count", [1, 20])
def test_working_values_cost_two_queries_for_any_number(count, django_assert_num_queries):
    keys = [make_reading(mm=80 + number).dimension_id for number in range(count)]
    with django_assert_num_queries(2):  # dimensions with component; readings with person and specimen
        values = working_values(keys)
        sources = [value.source for value in values.values()]
    assert sorted(values) == sorted(keys)
    assert len(sources) == count


def test_working_values_leave_out_what_was_never_measured():
    dimension = make_dimension()
    assert working_values([dimension.pk, 999_999]) == {}


@pytest.mark.parametrize("count", [1, 5])
def test_components_in_full_cost_the_same_for_any_number(count, django_assert_num_queries):
    for _ in range(count):
        component = make_component()
        make_reading(dimension=make_dimension(component=component))
        make_pattern(component=component)
        make_torque_spec(component=component)
    with django_assert_num_queries(8):
        # components, specimens, dimensions, readings, patterns, holes, mating features, torque specs
        for component in component_in_full():
            assert [working_value(dimension) for dimension in component.dimensions.all()][0].value
            assert [len(pattern.holes.all()) for pattern in component.hole_patterns.all()] == [4]
            assert len(component.torque_specs.all()) == 1


def test_a_new_reading_is_held_against_the_standing_ones_else_against_the_limits():
    dimension = make_dimension(lower_limit=0.08, upper_limit=0.09)
    assert usual_values(dimension) == [pytest.approx(0.085)]
    make_reading(dimension=dimension, mm=88.9)
    assert usual_values(Dimension.objects.get()) == [pytest.approx(0.0889)]
    assert usual_values(make_dimension(name="other")) == []


def test_dimensions_with_readings_can_start_from_any_list():
    wanted = make_dimension()
    make_dimension()
    assert [found.pk for found in dimensions_with_readings(Dimension.objects.filter(pk=wanted.pk))] == [wanted.pk]


def test_disputed_dimensions_are_those_whose_standing_readings_contradict(django_assert_num_queries):
    agreed, disputed, settled = make_dimension(), make_dimension(), make_dimension()
    for dimension, other in ((agreed, 88.95), (disputed, 89.5), (settled, 89.5)):
        make_reading(dimension=dimension)
        make_reading(dimension=dimension, mm=other)
    settled.measurements.filter(value__gt=0.089).update(deleted_at=timezone.now(), deleted_reason="slipped")
    with django_assert_num_queries(2):
        assert disputed_dimensions() == [disputed]


def test_of_readings_that_agree_none_is_read_to_find_those_that_contradict():
    agreed, disputed = make_dimension(), make_dimension()
    for at in range(20):
        make_reading(dimension=agreed, mm=88.9 + at * 0.001)
    make_reading(dimension=disputed)
    make_reading(dimension=disputed, mm=89.5)
    with CaptureQueriesContext(connection) as asked:
        assert disputed_dimensions() == [disputed]
    assert f"IN ({disputed.pk})" in asked[1]["sql"]


@pytest.mark.parametrize("count", [1, 20])
def test_patterns_in_full_cost_two_queries_for_any_number(count, django_assert_num_queries):
    for at in range(count):
        make_pattern(face=f"face {at}")
    with django_assert_num_queries(2):  # patterns with everybody named, holes
        for pattern in patterns_in_full():
            assert (pattern.component.maker, pattern.person.username, len(pattern.holes.all())) == (
                "Teskel",
                "jonas",
                4,
            )


@pytest.mark.parametrize("count", [1, 20])
def test_features_in_full_bring_the_readings_behind_their_sizes(count, django_assert_num_queries):
    for _ in range(count):
        make_feature({"major diameter": (26.0, 0.05), "length": (40.0, 0.2)})
    with django_assert_num_queries(4):  # features, sizes, their dimensions, their readings
        for feature in features_in_full():
            sizes = {size.role: working_value(size.dimension).value for size in feature.sizes.all()}
            assert sizes == pytest.approx({"major diameter": 0.026, "length": 0.040})


readings_drawn = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 2), st.integers(1, 3), st.booleans()), min_size=0, max_size=8
)


@settings(max_examples=60, deadline=None)
@given(readings_drawn, st.integers(0, 7))
def test_the_decisive_readings_say_what_all_of_them_say(drawn, chosen):
    """The working value, and whether any two readings contradict each other: by all of them, and by the four read."""
    with transaction.atomic():
        dimension = make_dimension(name="bore of all")
        made = [
            make_reading(
                dimension=dimension,
                value=0.1 + at * 1e-4,
                tolerance=tolerance * 1e-4,
                measured_on=date(2026, 1, day),
                **({"deleted_at": timezone.now(), "deleted_reason": "slipped"} if deleted else {}),
            )
            for at, tolerance, day, deleted in drawn
        ]
        if chosen < len(made):
            dimension.chosen, dimension.chosen_reason = made[chosen], "the good caliper"
            dimension.save()
        found = dimensions_with_working().get(pk=dimension.pk).working
        wanted = working_value(dimensions_with_readings().get(pk=dimension.pk))
        assert (found and (found.measurement, found.chosen, found.disagrees)) == (
            wanted and (wanted.measurement, wanted.chosen, wanted.disagrees)
        )
        assert (dimension in disputed_dimensions()) == bool(wanted and wanted.disagrees)
        transaction.set_rollback(True)


def test_the_list_of_dimensions_reads_as_many_readings_for_many_as_for_few(django_assert_num_queries):
    dimension = make_dimension(name="bore")
    for day in range(1, 25):
        make_reading(dimension=dimension, measured_on=date(2026, 1, day))
    with django_assert_num_queries(3):
        assert dimensions_with_working().get(pk=dimension.pk).working.measurement.measured_on == date(2026, 1, 24)

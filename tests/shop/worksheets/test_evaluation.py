"""A worksheet is worked out again from today's readings wherever it is shown."""

from datetime import date

import pytest
from django.utils import timezone

from shop.worksheets.changes import ResultMoved, accept_worksheet
from shop.worksheets.evaluation import worksheet_state, worksheet_states
from shop.worksheets.models import AcceptedRecord, Worksheet
from shop.worksheets.rules import WorksheetState
from shop.worksheets.what_states_read import for_states
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_pattern,
    make_reading,
)
from tests.factories.people import make_person
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db


@pytest.fixture
def fitter():
    return make_person(username="ama", roles=["fitter"])


@pytest.fixture
def length():
    dimension = make_dimension(component=make_component(maker="Nuvo", name="crow's foot"), name="drive to fastener")
    make_reading(dimension=dimension, mm=50, tolerance_mm=0.5)
    return dimension


@pytest.fixture
def sheet(length):
    return make_worksheet(inputs={"target": "100 N*m", "wrench_length": "400 mm", "extension": length})


def accepted(sheet, person):
    token = worksheet_state(sheet).token
    return accept_worksheet(sheet, token=token, person=person, note="looked at", now=timezone.now())


def test_it_takes_the_working_value_of_a_dimension(sheet):
    state = worksheet_state(sheet)
    assert state.result.outputs["setting"]["value"] == pytest.approx(100 * 400 / 450)
    assert state.status.state is WorksheetState.NEW


def test_measuring_again_puts_it_out_of_date_and_says_by_which_reading(sheet, length, fitter):
    accepted(sheet, fitter)
    assert worksheet_state(sheet).status.state is WorksheetState.SAME
    make_reading(dimension=length, mm=60, measured_on=date(2026, 4, 1), person=fitter, instrument="caliper")
    status = worksheet_state(sheet).status
    assert status.out_of_date
    (cause,) = status.causes
    assert cause.measured_again
    assert (cause.before.value, cause.now.value) == (0.05, 0.06)
    assert (cause.now.person, cause.now.on, cause.now.instrument) == (
        "Person " + fitter.last_name,
        "2026-04-01",
        "caliper",
    )
    assert [change.name for change in status.differences] == ["setting"]


def test_accepting_again_keeps_both_records(sheet, length, fitter):
    first = accepted(sheet, fitter)
    make_reading(dimension=length, mm=60, measured_on=date(2026, 4, 1))
    second = accepted(sheet, fitter)
    assert list(AcceptedRecord.objects.all()) == [second, first]
    first.refresh_from_db()
    assert first.outputs["setting"]["value"] == pytest.approx(100 * 400 / 450)
    assert worksheet_state(sheet).status.state is WorksheetState.SAME


def test_what_is_accepted_is_what_was_seen(sheet, length, fitter):
    seen = worksheet_state(sheet).token
    make_reading(dimension=length, mm=60, measured_on=date(2026, 4, 1))
    with pytest.raises(ResultMoved) as moved:
        accept_worksheet(sheet, token=seen, person=fitter, now=timezone.now())
    assert moved.value.state.result.outputs["setting"]["value"] == pytest.approx(100 * 400 / 460)
    assert not AcceptedRecord.objects.exists()


def test_a_dimension_without_a_reading_is_told_in_words(fitter):
    bare = make_dimension(name="never measured")
    sheet = make_worksheet(inputs={"target": "100 N*m", "wrench_length": "400 mm", "extension": bare})
    state = worksheet_state(sheet)
    assert state.problems == [("Adapter, drive to fastener", f"{bare} has no reading.")]
    with pytest.raises(ResultMoved):
        accept_worksheet(sheet, token="", person=fitter, now=timezone.now())


def test_a_dimension_of_another_kind_is_refused_in_words():
    torque = make_dimension(kind="torque")
    make_reading(dimension=torque)
    state = worksheet_state(make_worksheet(inputs={"target": "9", "wrench_length": torque, "extension": "1"}))
    assert "is now a torque, but a length is needed" in state.problems[0][1]


def test_typed_nonsense_and_missing_inputs_are_told_as_the_form_tells_them():
    state = worksheet_state(make_worksheet(inputs={"target": "3.5 kg", "wrench_length": "400 mm"}))
    said = dict(state.problems)
    assert "is a mass, but a torque is needed" in said["Torque wanted at the fastener"]
    assert "is missing" in said["Adapter, drive to fastener"]


def test_a_number_typed_without_a_unit_keeps_the_unit_it_was_meant_in():
    sheet = make_worksheet()
    sheet.inputs.filter(path="extension").update(typed="2", unit="in")
    assert worksheet_state(sheet).result.outputs["setting"]["value"] == pytest.approx(100 * 400 / 450.8)


def test_the_tolerance_of_a_reading_becomes_the_band_of_the_result(sheet):
    band = worksheet_state(sheet).banded.outputs["setting"]
    assert band.half == pytest.approx(100 * 0.4 / 0.45**2 * 0.0005, rel=0.02)


def test_a_calculation_that_is_gone_is_told(fitter):
    sheet = make_worksheet()
    Worksheet.objects.filter(pk=sheet.pk).update(calculation="witchcraft")
    assert worksheet_state(sheet).problems == [("", 'The calculation "witchcraft" is not there any more.')]


def test_a_later_method_that_answers_alike_is_only_said(sheet, fitter):
    record = accepted(sheet, fitter)
    record.revision = 7
    record.pk = None
    record._state.adding = True
    record.save()
    status = worksheet_state(sheet).status
    assert status.revised == (7, 1)
    assert status.state is WorksheetState.SAME


def test_many_worksheets_cost_as_many_queries_as_one(length, fitter, django_assert_num_queries):
    pattern = make_pattern()
    for _ in range(12):
        one = make_worksheet(inputs={"target": "100 N*m", "wrench_length": "400 mm", "extension": length})
        make_worksheet(inputs={"target": pattern})
        accepted(one, fitter)
    # worksheets, inputs, dimensions, readings, holes of patterns, accepted records, how plates are made,
    # holes left out, jobs
    for wanted in (2, 24):
        with django_assert_num_queries(9):
            assert len(worksheet_states(for_states(Worksheet.objects.all()).order_by("pk")[:wanted])) == wanted


def test_a_row_that_follows_a_dimension_takes_its_tolerance_too(db):
    depth = make_dimension(kind="length")
    make_reading(dimension=depth, mm=12.4, tolerance_mm=0.05)
    sheet = make_worksheet(
        {
            "contributors.0.name": "depth",
            "contributors.0.nominal": depth,
            "contributors.0.sign": "1",
            "contributors.1.name": "pad",
            "contributors.1.nominal": "3 ± 0.1 mm",
            "contributors.1.sign": "-1",
        },
        calculation="axial-stack",
    )
    state = worksheet_state(sheet)
    assert not state.problems
    assert [one.tolerance for one in state.given.contributors] == pytest.approx([0.00005, 0.0001])

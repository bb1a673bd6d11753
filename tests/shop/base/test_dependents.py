"""Whoever deletes a record that others rest on reads what rests on it, before it goes."""

import pytest
from django.urls import reverse

from tests.factories.jobs import make_job, make_job_torque, make_step, make_step_need
from tests.factories.measuring import make_dimension, make_pattern, make_reading
from tests.factories.orders import make_line
from tests.factories.vehicles import make_fitted, make_vehicle
from tests.factories.worksheets import make_worksheet
from tests.pages import words_of

pytestmark = pytest.mark.django_db


def asked(client, name, record):
    return words_of(client.get(reverse(name, args=[record.pk])))


def test_a_customers_vehicles_and_a_vehicles_jobs_and_pieces_are_named(owner):
    fitted = make_fitted()
    vehicle = fitted.vehicle
    job = make_job(vehicle=vehicle)
    assert f"Vehicles, to be deleted first: {vehicle}." in asked(owner, "vehicles:customer-delete", vehicle.customer)
    told = asked(owner, "vehicles:vehicle-delete", vehicle)
    assert f"Fitted in it: {fitted}." in told
    assert f"Jobs on it, to be deleted first: {job}." in told


def test_the_jobs_of_a_torque_spec_and_of_a_worksheet_are_named(owner):
    torque = make_job_torque()
    told = asked(owner, "torque:spec-delete", torque.torque_spec)
    assert f"Jobs that tighten by it and would have no torque: {torque.job}." in told
    sheet = make_worksheet()
    torque.job.worksheets.add(sheet)
    assert f"Jobs with it: {torque.job}." in asked(owner, "worksheets:worksheet-delete", sheet)


def test_a_step_that_another_waits_for_says_so(owner):
    first, second = make_step(), make_step()
    make_step_need(second, first)
    assert f"Steps that wait for it: {second}." in asked(owner, "jobs:step-delete", first)


def test_a_reading_that_counts_and_a_worksheet_that_takes_it_are_named(owner):
    reading = make_reading(dimension=make_dimension())
    dimension = reading.dimension
    dimension.chosen, dimension.chosen_reason = reading, "best light"
    dimension.save()
    assert "It is the reading that counts for" in asked(owner, "measuring:reading-delete", reading)


def test_the_worksheets_that_take_a_pattern_are_named(owner):
    pattern = make_pattern()
    sheet = make_worksheet()
    sheet.inputs.all().delete()
    sheet.inputs.create(
        path="holes", pattern=pattern, person=pattern.person, set_at=pattern.history.latest().history_date
    )
    told = asked(owner, "measuring:pattern-delete", pattern)
    assert f"Worksheets that reckon with it and would change: {sheet}." in told


def test_nothing_is_said_where_nothing_rests_on_a_record(owner):
    told = asked(owner, "vehicles:vehicle-delete", make_vehicle())
    assert "Jobs on it" not in told
    assert "Fitted in it" not in told


def test_what_is_still_to_come_of_an_order_is_named(owner):
    line = make_line()
    assert "Still to come on this order" in asked(owner, "orders:order-delete", line.order)

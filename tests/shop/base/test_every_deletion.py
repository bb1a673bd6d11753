"""Every kind of record that can be deleted: two people delete it, and one press brings it back."""

import re
from typing import Any

import pytest
from django.apps import apps
from django.urls import reverse
from django.utils import timezone

from shop.base.records import delete_record
from shop.base.undo import undos
from specs.models import Deletable
from tests.addresses import addresses, records_of_rooms
from tests.factories.orders import make_delivery, make_line
from tests.pages import collapsed, once

pytestmark = pytest.mark.django_db
DELETES = [address for name, address in addresses().items() if name.endswith("-delete")]
MODELS = {model._meta.label_lower for model in apps.get_models() if issubclass(model, Deletable)}
NOT_UNDONE = {
    "jobs.approval": "an approval that was taken back is given anew, by whoever checks the work now",
    "jobs.torquetie": "a torque is taken anew from a worksheet that holds today",
    "jobs.jobtorque": "added to the job again by one choice, with its checks",
    "jobs.setaside": "set aside again, where the piece is still free",
    "jobs.decision": "asked anew: whoever decided may decide otherwise today",
    "jobs.regulateditem": "flagged again by one choice",
    "jobs.requiredcheck": "written again in one line",
    "jobs.stepneed": "added again by one choice, which refuses a circle",
    "jobs.partneed": "added again, where an order may have been placed for another meanwhile",
    "jobs.templatestep": "added again at the place it should have today",
    "plate.omittedhole": "left out again with a reason, against the plate as it is today",
}
"""What a press does not bring back, and how it comes again: each is checked against today when it is made anew."""


def test_every_kind_is_undone_or_says_why_not() -> None:
    assert MODELS - undos().keys() == NOT_UNDONE.keys()


@pytest.fixture
def records(people: Any) -> dict[str, Any]:
    return records_of_rooms(people)[0]


def test_of_two_who_delete_one_record_the_second_is_told_and_keeps_the_words(
    owner: Any, people: Any, records: dict[str, Any]
) -> None:
    untold = []
    for address in DELETES:
        record = records.get(address.route.partition("<int:pk>")[0])
        if not isinstance(record, Deletable):
            continue
        at = reverse(address.name, args=[record.pk])
        owner.get(at)
        record = type(record)._default_manager.get(pk=record.pk)
        delete_record(record, person=people["fitter"], reason="made twice", now=timezone.now())
        told = owner.post(at, {"reason": "a long day's typing"} | once())
        page = collapsed(told)
        if "made twice" not in page or "a long day&#x27;s typing" not in page or "Nothing more was done" not in page:
            untold.append(address.name)
        record.refresh_from_db()
        assert record.deleted_reason == "made twice", address.name
    assert untold == []


def page_of(record: Any) -> str:
    """The page on which a deleted record stands with its button."""
    if label_of(record) in LISTS or label_of(record) == "jobs.step":
        return record.get_absolute_url()
    return next(getattr(record, name) for name in BESIDE if hasattr(record, name)).get_absolute_url()


def label_of(record: Any) -> str:
    return record._meta.label_lower


BESIDE = ("line", "order", "vehicle", "dimension")


LISTS = {
    "vehicles.vehicle": "vehicles:vehicles",
    "vehicles.customer": "vehicles:customers",
    "jobs.job": "jobs:jobs",
    "jobs.jobtemplate": "jobs:templates",
    "jobs.lesson": "jobs:lessons",
    "orders.order": "orders:orders",
    "orders.supplier": "orders:suppliers",
    "worksheets.worksheet": "worksheets:worksheets",
    "specs.holepattern": "measuring:patterns",
    "specs.matingfeature": "measuring:features",
    "specs.torquespec": "torque:specs",
}


@pytest.mark.parametrize("label", sorted(undos()))
def test_one_press_brings_a_record_back_from_its_page_and_from_the_list_of_deleted(
    label: str, owner: Any, people: Any, records: dict[str, Any]
) -> None:
    made = next(one for one in records.values() if one._meta.label_lower == label)
    shown = [f"{reverse(LISTS[label])}?show=deleted"] if label in LISTS else []
    for page in (page_of(made), *shown):
        record = type(made)._default_manager.get(pk=made.pk)
        delete_record(record, person=people["fitter"], reason="made twice", now=timezone.now())
        page = page.partition("#")[0]
        buttons = re.findall(r'action="(/undo/[^"]+)"', collapsed(owner.get(page)))
        address = reverse("home:undo", args=[label, record.pk])
        assert address in buttons, page
        owner.post(address)
        record.refresh_from_db()
        assert not record.is_deleted, page


def test_a_delivery_does_not_come_back_over_one_that_was_recorded_since(owner: Any, people: Any) -> None:
    line = make_line(quantity=2)
    first = make_delivery(line=line, quantity=2)
    delete_record(first, person=people["buyer"], reason="counted twice", now=timezone.now())
    make_delivery(line=line, quantity=1)
    said = collapsed(owner.post(reverse("home:undo", args=["orders.delivery", first.pk]), follow=True))
    assert "Only 1 of 2 still to come" in said
    first.refresh_from_db()
    assert first.is_deleted

"""Every kind of record that can be deleted: two people delete it, and one press brings it back."""

import re
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone

from shop.base.records import delete_record
from shop.base.undo import undos
from shop.jobs.models import SetAside
from specs.models import Deletable
from tests.addresses import addresses, records_of_rooms
from tests.factories.jobs import make_job, make_step, make_step_need
from tests.factories.orders import make_delivery, make_line
from tests.factories.people import make_people
from tests.pages import collapsed, once

pytestmark = pytest.mark.django_db
DELETES = [address for name, address in addresses().items() if name.endswith("-delete")]
MODELS = {model._meta.label_lower for model in apps.get_models() if issubclass(model, Deletable)}
NOT_UNDONE = {
    "jobs.approval": "a licensed person's word that was taken back counts again when it is given again",
    "jobs.torquetie": "a torque is taken anew, from a worksheet that holds today",
    "plate.omittedhole": "a bolt is left out anew, with a reason, against the plate as it is today",
}
"""What a press does not bring back, and how it comes again: each is checked against today when it is made anew."""


def test_every_kind_is_undone_or_says_why_not() -> None:
    assert MODELS - undos().keys() == NOT_UNDONE.keys()


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def people(files_of_the_file: None, until_the_file_ends: None) -> dict[str, User]:
    return make_people()


@pytest.fixture(scope="module")
def made(people: dict[str, User]) -> dict[str, Any]:
    return records_of_rooms(people)[0]


@pytest.fixture
def records(made: dict[str, Any], db: None) -> dict[str, Any]:
    """Made once for the file; what a test does to one is read back before the next."""
    return {before: type(one)._default_manager.get(pk=one.pk) for before, one in made.items()}


def test_a_deletion_names_its_act_and_of_two_who_delete_the_second_is_told_and_keeps_the_words(
    owner: Any, people: Any, records: dict[str, Any]
) -> None:
    untold = []
    for address in DELETES:
        record = records.get(address.route.partition("<int:pk>")[0])
        if not isinstance(record, Deletable):
            continue
        at = reverse(address.name, args=[record.pk])
        asked = collapsed(owner.get(at))
        main = re.sub(r"</?span[^>]*>", "", asked.partition("<main")[2])
        title, act = (re.search(f"<{tag}>([^<]+)</{tag}>", main) for tag in ("h1", "button"))
        assert title, address.name
        assert (act is None) == ("That must go first." in main), address.name
        if act:
            assert " " in act[1], address.name
            assert re.match(f"{re.escape(act[1])}:? ", title[1]), address.name
        leads = re.search(r'<p class="back"><a href="([^"]+)"', asked)
        assert not leads or f'<a href="{leads[1]}">Cancel</a>' in asked, address.name
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
    if owner := undos()[label_of(record)].on_page_of:
        return getattr(record, owner).get_absolute_url()
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
    "stock.part": "orders:parts",
    "payables.invoice": "payables:invoices",
    "replies.reply": "replies:replies",
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


def test_a_need_does_not_come_back_that_would_close_a_circle(owner: Any, people: Any) -> None:
    job = make_job()
    first, second = make_step(job=job, title="strip"), make_step(job=job, title="clean")
    need = make_step_need(first, second)
    delete_record(need, person=people["owner"], reason="other way round", now=timezone.now())
    make_step_need(second, first)
    said = collapsed(owner.post(reverse("home:undo", args=["jobs.stepneed", need.pk]), follow=True))
    assert "strip" in said
    need.refresh_from_db()
    assert need.is_deleted


def test_a_piece_is_not_set_aside_again_that_another_job_took(owner: Any, people: Any, records: dict[str, Any]) -> None:
    piece = next(one for one in records.values() if label_of(one) == "jobs.setaside")
    delete_record(piece, person=people["owner"], reason="not needed", now=timezone.now())
    SetAside.objects.create(job=make_job(title="another"), specimen=piece.specimen)
    said = collapsed(owner.post(reverse("home:undo", args=["jobs.setaside", piece.pk]), follow=True))
    assert "It is set aside for “" in said

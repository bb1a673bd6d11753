"""What was accepted is evidence: nobody changes or deletes it."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from shop.worksheets.models import AcceptedIsFixed, AcceptedRecord, WorksheetInput
from tests.factories.people import make_person
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db


def record_of(worksheet):
    empty = {"inputs": {}, "sources": [], "outputs": {}, "checks": [], "cautions": [], "bands": {}}
    return AcceptedRecord.objects.create(
        worksheet=worksheet, calculation="wrench-adapter", revision=1, person=make_person(), at=timezone.now(), **empty
    )


def test_a_record_refuses_to_be_changed_or_deleted():
    record = record_of(make_worksheet())
    record.note = "another story"
    with pytest.raises(AcceptedIsFixed):
        record.save()
    with pytest.raises(AcceptedIsFixed):
        record.delete()


def test_records_refuse_it_in_bulk_as_well():
    record_of(make_worksheet())
    with pytest.raises(AcceptedIsFixed):
        AcceptedRecord.objects.all().update(note="another story")
    with pytest.raises(AcceptedIsFixed):
        AcceptedRecord.objects.all().delete()


def test_the_last_record_of_each_worksheet_is_found_in_one_query(django_assert_num_queries):
    sheets = [make_worksheet(), make_worksheet(), make_worksheet()]
    record_of(sheets[0])
    last = {record_of(sheets[0]), record_of(sheets[1])}
    with django_assert_num_queries(1):
        assert set(AcceptedRecord.objects.last_of_each()) == last


def test_an_input_comes_from_exactly_one_place():
    sheet = make_worksheet(inputs={})
    with pytest.raises(IntegrityError), transaction.atomic():
        WorksheetInput.objects.create(worksheet=sheet, path="target", person=make_person(), set_at=timezone.now())

"""Somebody deletes a record while another works on it: every address that writes says who did and why, words kept."""

from typing import Any

import pytest
from django.contrib.messages import get_messages
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from specs.models import Deletable
from tests.addresses import Address, addresses, records_of_rooms
from tests.pages import collapsed, once

pytestmark = pytest.mark.django_db
WRITES = [address for address in addresses().values() if "POST" in address.methods and address.parts == ("pk",)]
TYPED = {"notes": "a long day's typing", "reason": "a long day's typing"}


def test_whoever_writes_to_a_deleted_record_is_told_by_whom_and_why_and_keeps_the_words(owner, people):
    records, _ = records_of_rooms(people)
    tried, silent = 0, []
    for address in WRITES:
        record = records.get(address.route.partition("<int:pk>")[0])
        if isinstance(record, Deletable):
            tried += 1
            if unsaid := unsaid_at(address, record, owner, people["fitter"]):
                silent.append(unsaid)
    assert tried > 60
    assert "\n".join(silent) == ""


def unsaid_at(address: Address, record: Any, client: Any, by: Any) -> str:
    """What a form sent to a deleted record fails to say; "" where it says all."""
    with transaction.atomic():
        record.refresh_from_db()
        record.deleted_at, record.deleted_by, record.deleted_reason = timezone.now(), by, "made twice"
        record.save()
        told = client.post(reverse(address.name, args=[record.pk]), TYPED | once())
        said = collapsed(told) + " ".join(str(message) for message in get_messages(told.wsgi_request))
        transaction.set_rollback(True)
    wanted = ["made twice", "a long day&#x27;s typing"]
    missing = [words for words in wanted if words not in said]
    return f"{address.name} ({told.status_code}) lacks {missing}" if missing else ""

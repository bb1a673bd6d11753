"""Nobody edits what somebody deleted: every edit page says who did and why, and keeps what was typed."""

import pytest
from django.urls import reverse
from django.utils import timezone

from specs.models import Deletable
from tests.addresses import addresses, records_of_rooms
from tests.pages import collapsed

pytestmark = pytest.mark.django_db
EDITS = [one for name, one in addresses().items() if name.endswith("-edit") and "<int:pk>" in one.route]


def test_every_edit_page_tells_of_the_deletion_and_keeps_the_words(owner, people):
    records, _ = records_of_rooms(people)
    tried, silent = 0, []
    for address in EDITS:
        record = records[address.route.partition("<int:pk>")[0]]
        if not isinstance(record, Deletable):
            continue
        record.refresh_from_db()
        record.deleted_at, record.deleted_by, record.deleted_reason = timezone.now(), people["fitter"], "made twice"
        record.save()
        told = owner.post(reverse(address.name, args=[record.pk]), {"notes": "a long day's typing"})
        page = collapsed(told)
        tried += 1
        if told.status_code != 404 or "made twice" not in page or "a long day&#x27;s typing" not in page:
            silent.append(address.name)
    assert tried > 8
    assert silent == []

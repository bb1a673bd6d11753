"""Documents kept with things that are no order, for tests."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.models import User

from shop.attachments import changes
from shop.attachments.models import Attachment
from tests.factories.orders import PDF


def make_attachment(owner: Any, *, person: User, **given: Any) -> Attachment:
    """A document kept as its verb keeps it; its file lies in MEDIA_ROOT, which every test has for itself."""
    usual = {"paper": "other", "name": "page.pdf", "content": PDF}
    return changes.attach(owner, person=person, **{**usual, **given})

"""What pages of what was measured share."""

from __future__ import annotations

from django.http import HttpResponse
from django.utils import timezone

from shop.base.access import SignedIn
from shop.base.pages import delete_page
from shop.measuring import changes
from specs.models import HolePattern, MatingFeature


def delete_with_reason(request: SignedIn, record: HolePattern | MatingFeature) -> HttpResponse:
    """Ask why a record is deleted, and delete it."""
    return delete_page(
        request,
        record,
        delete=lambda reason: changes.delete_with_reason(
            record, person=request.user, reason=reason, now=timezone.now()
        ),
        of=record,
    )

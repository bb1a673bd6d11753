"""A letter to a supplier as PDF, as it was written."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404

from shop.base.access import SignedIn, reads
from shop.base.seen_by import PART_PRICES
from shop.orders.models import Chase
from shop.people.models import preferences_of
from shop.print.kinds import USUAL_PAPERS
from shop.print.letter_facts import read_letter
from shop.print.letter_pdf import letter_pdf


@reads(PART_PRICES)
def letter(request: SignedIn, pk: int) -> HttpResponse:
    """The letter for the envelope, on the reader's paper or on that of `?paper=`; a mail prints the same words."""
    chase = get_object_or_404(Chase.objects.select_related("order__supplier", "person").exclude(text=""), pk=pk)
    asked = request.GET.get("paper", "")
    pdf = letter_pdf(read_letter(chase), asked if asked in USUAL_PAPERS else preferences_of(request.user).paper)
    response = HttpResponse(pdf, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="letter-{chase.order}-{chase.on:%Y-%m-%d}.pdf"'
    return response

"""Counting what lies on the shelf."""

from __future__ import annotations

from decimal import Decimal

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.stock import changes, rules
from shop.stock.forms import CountForm
from shop.stock.models import Movement
from shop.stock.places import lying, own_place, place_words
from shop.stock.views.common import find_part


@edits("stock.move")
def count_new(request: SignedIn, pk: int) -> HttpResponse:
    """Set what lies at one place of a part to what was counted: the usual one, one named, or one that is typed."""
    part, today = find_part(pk), timezone.localdate()
    asks_place, place = "another" in request.GET, own_place(part, request.GET.get("place", ""))
    there = lying(part).get(place, Decimal(0))

    def save(form: CountForm) -> Movement:
        try:
            return changes.count_shelf(part, **form.cleaned_data, person=request.user, today=today)
        except ValidationError as refused:
            if "counted" in getattr(refused, "error_dict", {}):
                now = find_part(pk)
                form.show_what_lies(lying(now).get(own_place(now, form.cleaned_data["place"]), Decimal(0)))
            raise

    said = gettext("The record says {of_unit} in {place_words}.").format(
        of_unit=rules.of_unit(there, part.unit), place_words=place_words(part, place)
    )
    return create_page(
        request,
        CountForm,
        title=gettext("Count: {part}").format(part=part),
        save=save,
        back=part.get_absolute_url(),
        template="base/act.html",
        context={"button": gettext("Save count"), "note": "" if asks_place else said},
        asks_place=asks_place,
        initial={"on": today, "place": "" if asks_place else place, "seen": Decimal(0) if asks_place else there},
    )

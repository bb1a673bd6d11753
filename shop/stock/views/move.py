"""Moving pieces from one place on the shelf to another."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.stock import changes, rules
from shop.stock.forms import MoveForm
from shop.stock.models import Movement
from shop.stock.places import lying, say_places
from shop.stock.views.common import find_part


@edits("stock.move")
def move_new(request: SignedIn, pk: int) -> HttpResponse:
    """Move so many from one place to another, with the reason; what lies there in all stays."""
    part, today = find_part(pk), timezone.localdate()
    there = say_places(part, lying(part))

    def save(form: MoveForm) -> Movement:
        try:
            return changes.move_pieces(part, **form.cleaned_data, person=request.user, today=today)
        except ValidationError:
            now = find_part(pk)
            form.show_what_lies(say_places(now, lying(now)))
            raise

    return create_page(
        request,
        MoveForm,
        title=gettext("Move to another place: {part}").format(part=part),
        save=save,
        back=part.get_absolute_url(),
        template="base/act.html",
        context={
            "button": gettext("Move"),
            "note": gettext("The record says {there}.").format(there=there),
            "refusal": rules.why_none_taken(part.on_shelf),
        },
        part=part,
        initial={"on": today, "seen": there},
    )

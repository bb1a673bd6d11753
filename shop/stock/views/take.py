"""Taking pieces off the shelf."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.stock import changes, rules
from shop.stock.forms import TakeForm
from shop.stock.models import Movement
from shop.stock.views.common import find_part, for_need, where


@edits("stock.move")
def take_new(request: SignedIn, pk: int) -> HttpResponse:
    """Take some for a step, or for a reason told."""
    part, today = find_part(pk), timezone.localdate()

    def save(form: Any) -> Movement:
        now = timezone.now()
        return changes.take(part, **form.cleaned_data, person=request.user, today=today, now=now)

    def after(moved: Movement) -> str:
        need = moved.part_need
        return str(need.step.get_absolute_url()) if need and "need" in request.GET else part.get_absolute_url()

    on_shelf, free = (rules.of_unit(number, part.unit) for number in (part.on_shelf, part.free))
    note = gettext("{on_shelf} on the shelf{where}, {free} free.").format(
        on_shelf=on_shelf, where=where(part), free=free
    )
    return create_page(
        request,
        TakeForm,
        title=gettext("Take from the shelf: {part}").format(part=part),
        save=save,
        redirect_to=after,
        back=part.get_absolute_url(),
        template="base/act.html",
        context={"button": gettext("Take"), "note": note, "refusal": rules.why_none_taken(part.on_shelf)},
        part=part,
        initial={"on": today, **for_need(request)},
    )

"""The pages of pieces fitted to a vehicle."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import ask_page, delete_page
from shop.base.records import find_current
from shop.vehicles import changes
from shop.vehicles.forms import FitForm, TakeOutForm
from shop.vehicles.models import Fitted, Vehicle


def _named(given: dict[str, Any], *names: str) -> dict[str, Any]:
    """Only these of a form's answers: a form over a record carries its version besides."""
    return {name: given[name] for name in names}


@edits("vehicles.manage")
def fitted_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Vehicle, pk)
    return ask_page(
        request,
        FitForm,
        title=gettext("Fit a piece: {found}").format(found=found),
        button=gettext("Record it as fitted"),
        do=lambda given: changes.fit(
            vehicle=found,
            person=request.user,
            today=timezone.localdate(),
            now=timezone.now(),
            **_named(given, "specimen", "place", "since"),
        ),
        back=found.get_absolute_url(),
    )


@edits("vehicles.manage")
def fitted_take_out(request: SignedIn, pk: int) -> HttpResponse:
    fitted = find_current(Fitted.objects.with_component().select_related("vehicle"), pk)
    return ask_page(
        request,
        TakeOutForm,
        title=gettext("Take out: {fitted}").format(fitted=fitted),
        button=gettext("Record it as taken out"),
        do=lambda given: changes.take_out(
            fitted, until=given["until"], person=request.user, today=timezone.localdate()
        ),
        back=fitted.vehicle.get_absolute_url(),
        initial={"until": timezone.localdate()},
    )


@edits("vehicles.manage")
def fitted_delete(request: SignedIn, pk: int) -> HttpResponse:
    fitted = get_object_or_404(Fitted.objects.with_component().select_related("vehicle"), pk=pk)
    return delete_page(
        request,
        fitted,
        delete=lambda reason: changes.delete_fitted(fitted, person=request.user, reason=reason, now=timezone.now()),
        of=fitted.vehicle,
        note=gettext("For an entry made by mistake. A piece that was taken out is recorded with its day instead."),
    )

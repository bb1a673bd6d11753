"""What a typed measurement is read as, for the line below its box."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext

from shop.base.access import reads, system_of
from shop.base.fields import UnitField
from specs.engine import units


@reads()
def reading(request: HttpRequest) -> HttpResponse:
    """Answer {"read": …} in the reader's units, or {"wrong": …}, both in the words of the form that will be sent."""
    asked = request.GET
    if asked.get("kind") not in units.KINDS:
        return JsonResponse({"wrong": gettext("There is no such kind of measurement.")})
    field = UnitField(
        kind=asked["kind"], system=system_of(request), with_tolerance="tolerance" in asked, required=False
    )
    try:
        field.clean((asked.get("typed", ""), asked.get("unit")))
    except ValidationError as wrong:
        return JsonResponse({"wrong": " ".join(wrong.messages)})
    return JsonResponse({"read": field.understood})

"""The address that a monitor asks."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone

from shop.base.access import reads
from shop.serving.health import look, told


@login_not_required
@reads()
def health(request: HttpRequest) -> HttpResponse:
    """200 where all is well, 503 where a person should look, and why, in JSON."""
    said = told(look(timezone.now()))
    response = JsonResponse(said, status=200 if said["well"] else 503)
    response["Cache-Control"] = "no-store"
    return response

"""The site's mark at the address where browsers ask for one."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.templatetags.static import static

from shop.base.access import reads


@login_not_required
@reads()
def icon(request: HttpRequest) -> HttpResponse:
    """The site's mark, for what cannot name it: a browser asks here when it shows a PDF."""
    return redirect(static("img/mark.svg"))

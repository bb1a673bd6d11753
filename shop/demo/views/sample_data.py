"""Taking the sample data in, and out again."""

from django.contrib import messages
from django.core.exceptions import BadRequest, ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.long_work import begin
from shop.base.sample import sample_is_in
from shop.demo.sample import SAMPLE_WORK, take_out


@edits("people.manage")
def sample_data(request: SignedIn) -> HttpResponse:
    """Say what the sample data is, and take it in or out."""
    refused: list[str] = []
    if request.method == "POST":
        try:
            return _act(request, request.POST.get("do", ""))
        except ValidationError as reason:
            refused = reason.messages
    context = {"title": gettext("Sample data"), "is_in": sample_is_in(), "refused": refused}
    return render(request, "demo/sample_data.html", context)


def _act(request: SignedIn, do: str) -> HttpResponse:
    if do == "in":
        work = begin(SAMPLE_WORK, title="Adding sample data", given={}, person=request.user, now=timezone.now())
        return redirect("home:long-work", pk=work.pk)
    if do == "out":
        take_out(person=request.user)
        messages.success(request, "The sample data is out, whole. What you entered is as it was.")
        return redirect("demo:sample-data")
    raise BadRequest("no such act")

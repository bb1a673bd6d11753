"""The page of a person's own preferences."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import edits, person_of
from shop.base.pages import edit_page
from shop.people.forms import PreferencesForm
from shop.people.models import Preferences, preferences_of


@edits("people.own")
def preferences(request: HttpRequest) -> HttpResponse:
    """How the reader wants quantities, paper and pages."""
    if request.method == "POST":
        record, _ = Preferences.objects.get_or_create(user=person_of(request))
    else:
        record = preferences_of(request.user)
    return edit_page(
        request,
        record,
        PreferencesForm,
        title=gettext("Your preferences"),
        redirect_to=lambda saved: reverse("people:preferences"),
        back=reverse("home:today"),
        template="people/preferences.html",
    )

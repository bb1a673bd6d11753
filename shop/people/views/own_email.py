"""A person's own mail address."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import edits, person_of
from shop.base.pages import create_page
from shop.people import changes
from shop.people.forms import EmailForm


@edits("people.own")
def own_email(request: HttpRequest) -> HttpResponse:
    """Enter where the morning's mail goes."""
    person = person_of(request)
    back = reverse("planning:notices")
    return create_page(
        request,
        EmailForm,
        title=gettext("Your mail address"),
        save=lambda form: changes.give_email(person, person=person, email=form.cleaned_data["email"]),
        redirect_to=lambda _: back,
        back=back,
        initial={"email": person.email},
    )

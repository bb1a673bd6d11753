from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import views as auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse, reverse_lazy

from shop.people.access import allowed, person_of
from shop.people.forms import OwnPasswordForm, PreferencesForm, SignInForm
from shop.people.models import Preferences
from shop.people.queries import preferences_of
from shop.ui.pages import edit_page


class SignIn(auth.LoginView):
    """Name and password; axes counts the wrong ones."""

    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True
    extra_context = {"title": "Sign in"}


class OwnPassword(auth.PasswordChangeView):
    """A person changes the password they sign in with, knowing the old one."""

    template_name = "people/own_password.html"
    form_class = OwnPasswordForm
    success_url = reverse_lazy("people:preferences")
    extra_context = {"title": "Change your password"}

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, "Your password is changed. Other devices are signed out.")
        return super().form_valid(form)


def locked_out(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
    """Shown after too many wrong passwords for one name from one place."""
    minutes = round(settings.AXES_COOLOFF_TIME * 60)
    context = {"title": "Too many wrong passwords", "tries": settings.AXES_FAILURE_LIMIT, "minutes": minutes}
    return render(request, "people/locked_out.html", context, status=429)


@allowed("people.own")
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
        title="Your preferences",
        land=lambda saved: reverse("people:preferences"),
        back=reverse("home:today"),
        template="people/preferences.html",
    )

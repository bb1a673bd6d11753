"""Signing in, and being kept out after too many wrong passwords."""

from math import ceil
from typing import Any

from django.contrib.auth import views as auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.people.forms import SignInForm
from shop.people.tries import remember_browser, seconds_left


class SignIn(auth.LoginView):
    """Name and password; axes counts the wrong ones."""

    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True
    extra_context = {"title": gettext_lazy("Sign in")}

    def form_valid(self, form: Any) -> HttpResponse:
        response = super().form_valid(form)
        remember_browser(self.request, response, form.get_user().get_username())
        return response


def locked_out(request: HttpRequest, response: Any, credentials: dict[str, Any] | None, **kwargs: Any) -> HttpResponse:
    """Shown after too many wrong passwords; says when to come back."""
    seconds = seconds_left(request, str((credentials or {}).get("username", "")))
    context = {"title": gettext("Too many wrong passwords"), "minutes": ceil(seconds / 60)}
    answer = render(request, "people/locked_out.html", context, status=429)
    answer["Retry-After"] = str(seconds)
    return answer

"""Signing in, and being kept out after too many wrong passwords."""

from typing import Any

from django.conf import settings
from django.contrib.auth import views as auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.people.forms import SignInForm


class SignIn(auth.LoginView):
    """Name and password; axes counts the wrong ones."""

    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True
    extra_context = {"title": "Sign in"}


def locked_out(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
    """Shown after too many wrong passwords for one name from one place."""
    minutes = round(settings.AXES_COOLOFF_TIME * 60)
    context = {"title": "Too many wrong passwords", "tries": settings.AXES_FAILURE_LIMIT, "minutes": minutes}
    return render(request, "people/locked_out.html", context, status=429)

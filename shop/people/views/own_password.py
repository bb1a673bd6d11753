"""A person's own password."""

from typing import Any

from django.contrib import messages
from django.contrib.auth import views as auth
from django.http import HttpRequest, HttpResponse
from django.urls import reverse_lazy
from django.utils.translation import gettext

from shop.base.access import PRESS, READ
from shop.base.error_pages import wrong_method
from shop.base.language import gettext_lazy
from shop.people.forms import OwnPasswordForm


class OwnPassword(auth.PasswordChangeView):
    """A person changes the password they sign in with, knowing the old one."""

    http_method_names = [method.lower() for method in (*READ, *PRESS)]
    template_name = "people/own_password.html"
    form_class = OwnPasswordForm
    success_url = reverse_lazy("people:preferences")
    extra_context = {"title": gettext_lazy("Change your password")}

    def http_method_not_allowed(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        return wrong_method(request, (*READ, *PRESS))

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, gettext("Your password is changed. Other devices are signed out."))
        return super().form_valid(form)

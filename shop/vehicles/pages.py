"""One more kind of page: a short form that does something to a record, and goes back to where it stands."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse

from shop.ui.pages import create_page
from shop.vehicles.forms import ReasonForm


def ask_page(
    request: HttpRequest,
    form_class: type,
    *,
    title: str,
    button: str,
    do: Callable[[dict[str, Any]], models.Model],
    back: str,
    said: str = "",
    note: str = "",
    **form_options: Any,
) -> HttpResponse:
    """Ask for what a verb needs, run it once with the cleaned answers, and go `back`, saying `said`."""

    def save(form: Any) -> models.Model:
        done = do(form.cleaned_data)
        if said:
            messages.success(request, said)
        return done

    return create_page(
        request,
        form_class,
        title=title,
        save=save,
        land=lambda record: back,
        back=back,
        template="vehicles/ask.html",
        context={"button": button, "note": note},
        **form_options,
    )


def withdraw_page(
    request: HttpRequest, record: models.Model, *, do: Callable[[str], models.Model], back: str, note: str = ""
) -> HttpResponse:
    """Ask why a record is withdrawn, then withdraw it."""
    return ask_page(
        request,
        ReasonForm,
        title=f"Withdraw {record._meta.verbose_name}: {record}",
        button="Withdraw it",
        do=lambda answers: do(answers["why"]),
        back=back,
        said=f"Withdrawn: {record}.",
        note=note or "It stays on record with your reason, and is no longer shown where work is planned.",
    )

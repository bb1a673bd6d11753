"""What several pages of this room look up and show alike."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db import models
from django.http import HttpResponse

from shop.base.access import SignedIn
from shop.base.pages import ask_page
from shop.base.records import find_current
from shop.jobs.models import Job, Step


def find_step(pk: int) -> Step:
    return find_current(Step.objects.select_related("job"), pk)


def ask_about(
    request: SignedIn,
    found: Job | Step,
    form: type,
    title: str,
    button: str,
    do: Callable[[dict], models.Model],
    **more: Any,
) -> HttpResponse:
    """A short form about a job or a step, which lands on its page."""
    return ask_page(
        request, form, title=title, button=button, do=do, back=found.get_absolute_url(), context={"of": found}, **more
    )

"""Words for the pages of jobs: ``{% load jobs %}``."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING, Any

from django import template
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shop.base.language import capfirst, word
from shop.base.rows import Row
from shop.base.unchanged import while_unchanged
from shop.jobs.models import Job, SetAside, Step
from shop.jobs.models.step import hours
from shop.jobs.standing import listed
from shop.worksheets.models import Worksheet

if TYPE_CHECKING:
    from markdown_it import MarkdownIt

register = template.Library()
register.filter("hours", hours)


@cache
def _markdown() -> MarkdownIt:
    """No HTML, no pictures from elsewhere, and no headings: the page's own stay the only ones."""
    from markdown_it import MarkdownIt

    reader = MarkdownIt("commonmark", {"html": False})
    return reader.disable(["image", "heading", "lheading", "html_block", "html_inline"])


@register.filter
def markdown(text: str) -> SafeString:
    """A step's text as its writer meant it: lists, emphasis, links; everything else is shown as typed."""
    return mark_safe(_markdown().render(text or ""))  # noqa: S308 - html is off


@register.filter
def named(person: Any) -> str:
    """A person's name, or the name they sign in with."""
    return (person.get_full_name() or person.get_username()) if person else gettext("nobody")


@register.filter
def at(mapping: dict[Any, Any], key: Any) -> Any:
    """What a mapping holds for a key; nothing when it holds nothing."""
    return mapping.get(key)


@register.filter
def job_rows(jobs: Iterable[Job]) -> list[Row]:
    """The jobs of a vehicle, which is named on the page, with their state."""
    return [
        Row(
            "done" if job.state.is_done else "ready",
            job.title,
            job.get_absolute_url(),
            capfirst(job.state.words),
            said="" if job.state.is_done else gettext("In hand"),
        )
        for job in jobs
    ]


@register.simple_tag
def set_aside_rows(jobs: Iterable[Any]) -> list[tuple[str, list[Row]]]:
    """The titles of jobs `with_set_aside`, each with the pieces set aside for it; jobs without any left out."""
    return [(job.title, [_set_aside(piece) for piece in job.set_aside_now]) for job in jobs if job.set_aside_now]


def _set_aside(piece: SetAside) -> Row:
    at = reverse("measuring:component", args=[piece.specimen.component_id])
    note = " · ".join(filter(None, [capfirst(word(piece.meant_for)) if piece.meant_for else "", piece.lies_in]))
    return Row("waiting", piece.specimen, at, note, said=gettext("Set aside"))


@register.simple_tag
def resting_on(worksheet: Any) -> list[Row]:
    """The steps that wait for a worksheet, then the jobs that it is kept for, in two queries."""
    return _resting_on(worksheet.pk)


@while_unchanged
def _resting_on(key: int) -> list[Row]:
    worksheet = Worksheet(pk=key)
    needs = worksheet.step_needs.active().filter(step__deleted_at=None).select_related("step__job__vehicle")
    return [*(_waiting(need.step) for need in needs), *(_kept_for(job) for job in _jobs_with(worksheet))]


def _waiting(step: Step) -> Row:
    mark, word = ("done", gettext("Done")) if step.is_finished else ("waiting", gettext("Waits for this check"))
    at = step.get_absolute_url()
    return Row(mark, step.title, at, f"{word} · {step.job.vehicle}", act=gettext("Open"), to=at)


def _jobs_with(worksheet: Any) -> Iterable[Job]:
    jobs: Iterable[Job] = worksheet.jobs.active().select_related("vehicle")
    return jobs


def _kept_for(job: Job) -> Row:
    return Row("", job.title, job.get_absolute_url(), str(job.vehicle), act=gettext("Open"), to=job.get_absolute_url())


@register.simple_tag
def jobs_of(vehicle: Any) -> list[Job]:
    """The jobs of a vehicle with their state and what is set aside for them."""
    return list(listed(vehicle.jobs.active().with_set_aside()))

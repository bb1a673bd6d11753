"""Pages about lessons."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.base.roles import NAMES
from shop.jobs.changes import lessons as changes
from shop.jobs.forms.notes import LessonForm
from shop.jobs.models import Lesson, Step
from shop.jobs.queries import LessonQuerySet
from shop.jobs.tables import LessonFilters, LessonTable
from specs.row_queries import put_together_once


@put_together_once
def _listed() -> LessonQuerySet:
    """Every lesson with what its line in the list says."""
    return Lesson.objects.with_only("written_by", *NAMES).defer("learned_at")


@reads()
def lessons(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, _listed())
    return list_page(
        request,
        title=gettext("Lessons"),
        table=LessonTable,
        rows=rows,
        filters=LessonFilters,
        template="jobs/lessons.html",
    )


@reads()
def lesson(request: SignedIn, pk: int) -> HttpResponse:
    pages = Lesson.objects.select_related("written_by", "deleted_by", "learned_at__job__vehicle")
    found = get_object_or_404(pages.prefetch_related("components", "template_steps__template"), pk=pk)
    history = found.history.select_related("history_user")
    return render(request, "jobs/lesson.html", {"lesson": found, "title": found.title, "history": history})


def _save_lesson(form: LessonForm, request: SignedIn) -> Lesson:
    return changes.write_lesson(
        form.save(commit=False),
        components=form.cleaned_data["components"],
        person=request.user,
        today=timezone.localdate(),
    )


@edits("jobs.learn")
def lesson_new(request: SignedIn) -> HttpResponse:
    chosen = request.GET.get("step", "")
    step = get_object_or_404(Step, pk=int(chosen)) if chosen.isdecimal() and len(chosen) < 10 else None
    return create_page(
        request,
        LessonForm,
        title=gettext("A lesson from: {step}").format(step=step) if step else gettext("Add lesson"),
        save=lambda form: _save_lesson(form, request),
        instance=Lesson(learned_at=step),
    )


@edits("jobs.learn")
def lesson_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Lesson, pk)
    return edit_page(
        request,
        found,
        LessonForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: _save_lesson(form, request),
    )


@edits("jobs.learn")
def lesson_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Lesson, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_lesson(found, person=request.user, reason=reason, now=timezone.now()),
        of=found,
    )

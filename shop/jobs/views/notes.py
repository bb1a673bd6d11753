"""What is kept for the next job: routes and lessons."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shop.jobs.changes import lessons as lesson_changes
from shop.jobs.changes import routes as changes
from shop.jobs.forms.notes import LessonForm, RouteForm, RouteStepForm
from shop.jobs.models import Lesson, Route, RouteStep, Step
from shop.jobs.shipped import shipped_routes
from shop.jobs.tables import LessonFilters, LessonTable, RouteFilters, RouteTable
from shop.people.access import SignedIn, allowed
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from shop.vehicles.pages import withdraw_page
from shop.vehicles.tables import rows_asked


def routes(request: SignedIn) -> HttpResponse:
    brought = set(Route.objects.exclude(shipped_as="").values_list("shipped_as", flat=True))
    missing = [route.name for route in shipped_routes() if route.key not in brought]
    rows = rows_asked(request, Route.objects.all()).for_list()
    return list_page(
        request,
        title="Routes",
        table=RouteTable,
        rows=rows,
        filters=RouteFilters,
        template="jobs/routes.html",
        context={"missing": missing},
    )


@require_POST
@allowed("jobs.routes")
def routes_shipped(request: SignedIn) -> HttpResponse:
    brought = changes.bring_in_shipped(by=request.user)
    messages.success(request, f"{len(brought)} routes brought in." if brought else "They were here already.")
    return redirect("jobs:routes")


def route(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Route.objects.for_list().select_related("withdrawn_by"), pk=pk)
    steps = found.steps.standing().prefetch_related("needs__needs_step", "parts", "lessons")
    return render(request, "jobs/route.html", {"route": found, "title": found.name, "steps": steps})


@allowed("jobs.routes")
def route_new(request: SignedIn) -> HttpResponse:
    return create_page(
        request,
        RouteForm,
        title="Write a route",
        save=lambda form: changes.save_route(form.save(commit=False), by=request.user),
    )


@allowed("jobs.routes")
def route_change(request: SignedIn, pk: int) -> HttpResponse:
    return edit_page(
        request,
        get_object_or_404(Route, pk=pk),
        RouteForm,
        title="Change route",
        save=lambda form: changes.save_route(form.save(commit=False), by=request.user),
    )


@allowed("jobs.routes")
def route_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Route, pk=pk)
    return withdraw_page(
        request,
        found,
        do=lambda why: changes.withdraw_route(found, by=request.user, why=why, now=timezone.now()),
        back=found.get_absolute_url(),
        note="Jobs that came of it keep their steps.",
    )


def _save_route_step(form: RouteStepForm, request: SignedIn) -> RouteStep:
    given = form.cleaned_data
    return changes.save_route_step(
        form.save(commit=False),
        after=list(given["after"]),
        questions=given["questions"],
        parts=given["parts"],
        by=request.user,
    )


@allowed("jobs.routes")
def route_step_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Route, pk=pk)
    return create_page(
        request,
        RouteStepForm,
        title=f"Write a step: {found}",
        save=lambda form: _save_route_step(form, request),
        land=lambda step: found.get_absolute_url(),
        back=found.get_absolute_url(),
        route=found,
        instance=RouteStep(route=found),
    )


@allowed("jobs.routes")
def route_step_change(request: SignedIn, pk: int) -> HttpResponse:
    step = get_object_or_404(RouteStep.objects.select_related("route"), pk=pk)
    return edit_page(
        request,
        step,
        RouteStepForm,
        title="Change a step of a route",
        save=lambda form: _save_route_step(form, request),
        land=lambda saved: step.route.get_absolute_url(),
        route=step.route,
    )


@allowed("jobs.routes")
def route_step_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    step = get_object_or_404(RouteStep.objects.select_related("route"), pk=pk)
    return withdraw_page(
        request,
        step,
        do=lambda why: changes.withdraw_route_step(step, by=request.user, why=why, now=timezone.now()),
        back=step.route.get_absolute_url(),
    )


def lessons(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, Lesson.objects.all()).select_related("written_by")
    return list_page(
        request,
        title="Lessons",
        table=LessonTable,
        rows=rows,
        filters=LessonFilters,
        template="jobs/lessons.html",
    )


def lesson(request: SignedIn, pk: int) -> HttpResponse:
    pages = Lesson.objects.select_related("written_by", "withdrawn_by", "learned_at__job__vehicle")
    found = get_object_or_404(pages.prefetch_related("components", "route_steps__route"), pk=pk)
    history = found.history.select_related("history_user")
    return render(request, "jobs/lesson.html", {"lesson": found, "title": found.title, "history": history})


def _save_lesson(form: LessonForm, request: SignedIn) -> Lesson:
    return lesson_changes.write_lesson(
        form.save(commit=False),
        components=form.cleaned_data["components"],
        by=request.user,
        today=timezone.localdate(),
    )


@allowed("jobs.learn")
def lesson_new(request: SignedIn) -> HttpResponse:
    asked = request.GET.get("step", "")
    step = get_object_or_404(Step, pk=int(asked)) if asked.isdecimal() and len(asked) < 10 else None
    return create_page(
        request,
        LessonForm,
        title=f"A lesson from: {step}" if step else "Write a lesson",
        save=lambda form: _save_lesson(form, request),
        instance=Lesson(learned_at=step),
    )


@allowed("jobs.learn")
def lesson_change(request: SignedIn, pk: int) -> HttpResponse:
    return edit_page(
        request,
        get_object_or_404(Lesson, pk=pk),
        LessonForm,
        title="Change lesson",
        save=lambda form: _save_lesson(form, request),
    )


@allowed("jobs.learn")
def lesson_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Lesson, pk=pk)
    return withdraw_page(
        request,
        found,
        do=lambda why: lesson_changes.withdraw_lesson(found, by=request.user, why=why, now=timezone.now()),
        back=found.get_absolute_url(),
    )

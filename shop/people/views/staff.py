"""The owner's pages: who works here, in which role."""

from collections.abc import Callable
from functools import partial

from django.contrib import messages
from django.contrib.auth.models import User
from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shop.people import changes
from shop.people.access import allowed, person_of
from shop.people.forms import GivenPasswordForm, NewPersonForm
from shop.people.roles import ROLES
from shop.people.tables import PeopleTable
from shop.ui.lists import list_page
from shop.ui.pages import create_page


def address_of(person: User) -> str:
    return reverse("people:person", args=[person.pk])


@require_safe
@allowed("people.manage")
def people(request: HttpRequest) -> HttpResponse:
    """Everybody who works here or did."""
    rows = User.objects.prefetch_related("groups")
    return list_page(request, title="People", table=PeopleTable, rows=rows, template="people/list.html")


@allowed("people.manage")
def new(request: HttpRequest) -> HttpResponse:
    """Somebody begins here."""
    begin = partial(changes.add_person, by=person_of(request))
    return create_page(
        request,
        NewPersonForm,
        title="Somebody begins here",
        save=lambda form: begin(**form.cleaned_data),
        land=address_of,
        back=reverse("people:list"),
    )


@require_safe
@allowed("people.manage")
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One person's roles, and what was done about them."""
    found = get_object_or_404(User, pk=pk)
    held = set(found.groups.values_list("name", flat=True))
    context = {
        "title": found.get_full_name() or found.username,
        "person": found,
        "roles": [(role, role in held) for role in ROLES],
        "changes": found.staff_changes.select_related("by"),
    }
    return render(request, "people/person.html", context)


def _standing_changes(person: User, by: User) -> dict[str, Callable[[], None]]:
    """Each button of a person's page: every one says what shall be, so pressing twice does no more than once."""
    common = {"by": by, "person": person}
    give = {f"give-{role}": partial(changes.give_role, role=role, **common) for role in ROLES}
    take = {f"take-{role}": partial(changes.take_role, role=role, **common) for role in ROLES}
    return {**give, **take, "left": partial(changes.let_go, **common), "back": partial(changes.take_back, **common)}


@require_POST
@allowed("people.manage")
def standing(request: HttpRequest, pk: int) -> HttpResponse:
    """Press one of the buttons of a person's page."""
    found = get_object_or_404(User, pk=pk)
    change = _standing_changes(found, person_of(request)).get(request.POST.get("do", ""))
    if change is None:
        raise BadRequest("no such change")
    try:
        change()
    except changes.Refused as refusal:
        messages.error(request, str(refusal))
    return redirect(address_of(found))


@allowed("people.manage")
def password(request: HttpRequest, pk: int) -> HttpResponse:
    """A new password for somebody who forgot theirs."""
    found = get_object_or_404(User, pk=pk)
    form = GivenPasswordForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        changes.give_password(by=person_of(request), person=found, password=form.cleaned_data["password"])
        messages.success(request, f"{found.get_full_name() or found.username} has a new password.")
        return redirect(address_of(found))
    context = {"title": f"New password for {found.get_full_name() or found.username}", "form": form, "person": found}
    return render(request, "people/give_password.html", context)

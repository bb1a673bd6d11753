"""The owner's pages: who works here, in which role."""

from collections.abc import Callable
from functools import partial

from django.contrib import messages
from django.contrib.auth.models import User
from django.core.exceptions import BadRequest
from django.db.models import F
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import acts, edits, person_of, reads
from shop.base.lists import list_page
from shop.base.pages import create_page
from shop.base.roles import OWNER, ROLES, given_actions, person_name
from shop.people import changes
from shop.people.forms import EmailForm, GivenPasswordForm, NewPersonForm
from shop.people.tables import PeopleTable

# Under a name of its own: a page that shows it is made anew after a sign-in, and no other (`shop.base.asked_again`).
_SIGNED_IN = User.objects.annotate(signed_in=F("last_login"))


def address_of(person: User) -> str:
    return reverse("people:person", args=[person.pk])


@reads("people.manage")
def people(request: HttpRequest) -> HttpResponse:
    """Everybody who works here or did."""
    rows = _SIGNED_IN.prefetch_related("groups")
    return list_page(request, title=gettext("People"), table=PeopleTable, rows=rows, template="people/people.html")


@edits("people.manage")
def person_new(request: HttpRequest) -> HttpResponse:
    """Add a person."""
    begin = partial(changes.add_person, person=person_of(request))
    return create_page(
        request,
        NewPersonForm,
        title=gettext("Add a person"),
        save=lambda form: begin(**form.cleaned_data),
        redirect_to=address_of,
        back=reverse("people:people"),
    )


@reads("people.manage")
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One person's roles, and what was done about them."""
    found = get_object_or_404(_SIGNED_IN, pk=pk)
    held = set(found.groups.values_list("name", flat=True))
    owners = User.objects.filter(groups__name=OWNER, is_active=True)
    context = {
        "title": person_name(found),
        "person": found,
        "roles": [(role, role in held) for role in ROLES],
        "given": [(action, action.name in held) for action in given_actions()],
        "is_owner": OWNER in held,
        "last_owner": found.is_active and OWNER in held and owners.count() == 1,
        "changes": found.staff_changes.select_related("by"),
    }
    return render(request, "people/person.html", context)


def _access_changes(member: User, person: User) -> dict[str, Callable[[], None]]:
    """Each button of a person's page: every one says what shall be, so pressing twice does no more than once."""
    common = {"person": person, "member": member}
    give = {f"give-{role}": partial(changes.give_role, role=role, **common) for role in ROLES}
    take = {f"take-{role}": partial(changes.take_role, role=role, **common) for role in ROLES}
    for action in given_actions():
        give[f"give-{action.name}"] = partial(changes.give_action, action=action, **common)
        take[f"take-{action.name}"] = partial(changes.take_action, action=action, **common)
    return {**give, **take, "left": partial(changes.let_go, **common), "back": partial(changes.take_back, **common)}


@acts("people.manage")
def person_access(request: HttpRequest, pk: int) -> HttpResponse:
    """Press one of the buttons of a person's page."""
    found = get_object_or_404(User, pk=pk)
    change = _access_changes(found, person_of(request)).get(request.POST.get("do", ""))
    if change is None:
        raise BadRequest(gettext("no such change"))
    try:
        change()
    except changes.StaffChangeRefused as refusal:
        messages.error(request, str(refusal))
    return redirect(address_of(found))


@edits("people.manage")
def person_email(request: HttpRequest, pk: int) -> HttpResponse:
    """Enter where somebody's mail goes."""
    found = get_object_or_404(User, pk=pk)
    return create_page(
        request,
        EmailForm,
        title=gettext("Mail address of {person_name}").format(person_name=person_name(found)),
        save=lambda form: changes.give_email(found, person=person_of(request), email=form.cleaned_data["email"]),
        redirect_to=lambda _: address_of(found),
        back=address_of(found),
        initial={"email": found.email},
    )


@edits("people.manage")
def person_password(request: HttpRequest, pk: int) -> HttpResponse:
    """A new password for somebody who forgot theirs."""
    found = get_object_or_404(User, pk=pk)
    form = GivenPasswordForm(request.POST if request.method == "POST" else None, person=found)
    if form.is_valid():
        changes.give_password(person=person_of(request), member=found, password=form.cleaned_data["password"])
        messages.success(request, gettext("{person_name} has a new password.").format(person_name=person_name(found)))
        return redirect(address_of(found))
    context = {
        "title": gettext("New password for {person_name}").format(person_name=person_name(found)),
        "form": form,
        "person": found,
    }
    return render(request, "people/person_password.html", context)

"""Guarding a page: by which methods it answers, and who may see or do it.

Each view states one of three: ``reads`` (shows), ``edits`` (shows a form and takes it), ``acts`` (a button: takes a
press and shows nothing). Each takes the name of an action, or none for everybody who is signed in::

    @edits("orders.chase")
    def chase_new(request: SignedIn, pk: int) -> HttpResponse: ...

The declaration stays on the view (``methods``, ``action``): what each role is answered is derived from it and tested.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.urls import resolve
from django.utils.translation import gettext

from shop.base.error_pages import wrong_method
from shop.base.roles import actions, may, require
from specs.engine.units import System

View = Callable[..., HttpResponseBase]

READ = ("GET", "HEAD")
PRESS = ("POST",)


class SignedIn(HttpRequest):
    """A request by somebody signed in, as the middleware demands of every page but the sign-in."""

    user: User


def person_of(request: HttpRequest) -> User:
    """The person signed in, for verbs that record who did it."""
    if isinstance(request.user, User):
        return request.user
    raise PermissionDenied(gettext("Sign in first."))


def system_of(request: Any) -> System:
    """ "metric" or "inch", as the reader chose (``request.preferences``); metric where nobody reads."""
    preferences = getattr(request, "preferences", None)
    return preferences.system if preferences is not None else "metric"


def may_do_what_is_at(address: str, person: Any) -> bool:
    """Whether a person may do what the page at an address is for."""
    action = getattr(resolve(address).func, "action", "")
    return not action or may(person, action)


def reads(action: str = "") -> Callable[[View], View]:
    """A page that only shows: GET and HEAD."""
    return _guard(action, READ)


def edits(action: str = "") -> Callable[[View], View]:
    """A page with a form: GET and HEAD show it, POST takes it."""
    return _guard(action, (*READ, *PRESS))


def acts(action: str = "") -> Callable[[View], View]:
    """The address of a button: POST only."""
    return _guard(action, PRESS)


def _guard(action: str, methods: tuple[str, ...]) -> Callable[[View], View]:
    if action and action not in actions():
        raise LookupError(
            gettext("no room declares the action {action}; add it to that room's actions.py").format(
                action=f"{action!r}"
            )
        )

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if request.method not in methods:
                return wrong_method(request, methods)
            if action:
                require(request.user, action)
            return view(request, *args, **kwargs)

        guarded.action, guarded.methods = action, methods  # type: ignore[attr-defined]
        return guarded

    return guard

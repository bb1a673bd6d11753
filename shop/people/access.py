"""Guarding a page by an action."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from shop.people.roles import actions, require

View = Callable[..., HttpResponse]


class SignedIn(HttpRequest):
    """A request by somebody signed in, as the middleware demands of every page but the sign-in."""

    user: User


def person_of(request: HttpRequest) -> User:
    """The person signed in, for verbs that record who did it."""
    if isinstance(request.user, User):
        return request.user
    raise PermissionDenied("Sign in first.")


def allowed(action: str) -> Callable[[View], View]:
    """Only people who may do ``action`` reach the view; signing in is demanded everywhere anyway."""
    if action not in actions():
        raise LookupError(f"no area declares the action {action!r}; add it to that area's actions.py")

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            require(request.user, action)
            return view(request, *args, **kwargs)

        return guarded

    return guard

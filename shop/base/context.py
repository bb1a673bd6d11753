from typing import Any

from django.apps import apps
from django.conf import settings
from django.http import HttpRequest

from shop.base.menu import Entry, Place, entries
from shop.base.roles import roles_of


def page(request: HttpRequest) -> dict[str, Any]:
    """What the page frame needs: whose shop it is, the menu of those signed in, the room that the page belongs to.

    ``preferences`` and ``roles`` of the reader are left out before sign-in was looked at.
    """
    user = getattr(request, "user", None)
    signed_in = user is not None and user.is_authenticated
    menu = [Place(entry, request.path) for entry in entries() if signed_in and _open(entry, request)]
    frame = {"shop_name": settings.SHOP_NAME, "menu": menu, "area_words": _area(request)}
    return {**frame, **_reader(request)}


def _reader(request: HttpRequest) -> dict[str, Any]:
    if not hasattr(request, "preferences"):
        return {}
    return {"preferences": request.preferences, "roles": roles_of(request.user)}


def _open(entry: Entry, request: HttpRequest) -> bool:
    return not entry.action or request.may(entry.action)  # type: ignore[attr-defined]


def _area(request: HttpRequest) -> str:
    match = request.resolver_match
    app = match.app_name if match else ""
    return str(apps.get_app_config(app).verbose_name) if apps.is_installed(f"shop.{app}") else ""

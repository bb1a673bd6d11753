from typing import Any

from django.apps import apps
from django.conf import settings
from django.http import HttpRequest

from shop.base.menu import menu
from shop.base.roles import roles_of


def page(request: HttpRequest) -> dict[str, Any]:
    """What the page frame needs: whose shop it is, the menu of those signed in, the room that the page belongs to.

    ``preferences`` and ``roles`` of the reader are left out before sign-in was looked at.
    """
    user = getattr(request, "user", None)
    signed_in = user is not None and user.is_authenticated
    frame: dict[str, Any] = {"shop_name": settings.SHOP_NAME, "area_words": _area(request)}
    if signed_in:
        frame["menu"] = menu(request.path, request.may)  # type: ignore[attr-defined]
    return {**frame, **_reader(request)}


def _reader(request: HttpRequest) -> dict[str, Any]:
    if not hasattr(request, "preferences"):
        return {}
    return {"preferences": request.preferences, "roles": roles_of(request.user)}


def _area(request: HttpRequest) -> str:
    match = request.resolver_match
    app = match.app_name if match else ""
    return str(apps.get_app_config(app).verbose_name) if apps.is_installed(f"shop.{app}") else ""

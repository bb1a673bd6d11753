from typing import Any

from django.http import HttpRequest

from shop.base.roles import roles_of


def reader(request: HttpRequest) -> dict[str, Any]:
    """Who reads the page: ``preferences`` (units, paper, theme) and ``roles``; nothing before sign-in was looked at."""
    if not hasattr(request, "preferences"):
        return {}
    return {"preferences": request.preferences, "roles": roles_of(request.user)}

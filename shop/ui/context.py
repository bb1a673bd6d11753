from typing import Any

from django.http import HttpRequest

from shop.ui.menu import entries


def page(request: HttpRequest) -> dict[str, Any]:
    """What the page frame needs: the menu of those signed in."""
    user = getattr(request, "user", None)
    return {"menu": entries() if user is not None and user.is_authenticated else ()}

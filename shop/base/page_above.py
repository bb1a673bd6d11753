"""Which page lies above an address, by the addresses alone."""

from contextlib import suppress

from django.urls import Resolver404, resolve


def page_above(path: str) -> str:
    """The address of the nearest page above an address: ``/jobs/lessons/new/`` lies below ``/jobs/lessons/``."""
    above = path
    while above.count("/") > 1:
        above = f"{above.rstrip('/').rpartition('/')[0]}/"
        with suppress(Resolver404):
            if "GET" in getattr(resolve(above).func, "methods", ()):
                return above
    return "/"

"""The unit system of whoever reads the page."""

from typing import Any

from specs.engine.units import System


def system_of(request: Any) -> System:
    """ "metric" or "inch", as the reader chose (``request.preferences``); metric where nobody reads."""
    preferences = getattr(request, "preferences", None)
    return preferences.system if preferences is not None else "metric"

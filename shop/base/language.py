"""Texts of modules, said in the reader's language when they are shown.

Texts inside functions go through Django's `gettext` where they are made. A text that stands in a module is made before
anybody reads it. It is the engine's kind of text (`specs.phrase`) and not Django's lazy one, because it stays
English where it is kept, compared or sent as JSON.
"""

from __future__ import annotations

from typing import Any

from specs.phrase import phrase


def gettext_lazy(message: str, **values: Any) -> str:
    """Return a text that is looked up when it is shown; `values` are filled in then."""
    return phrase(message, **values)

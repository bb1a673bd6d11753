"""Texts of modules, said in the reader's language when they are shown.

Texts inside functions go through Django's `gettext` where they are made. A text that stands in a module is made before
anybody reads it. It is the engine's kind of text (`specs.phrase`) and not Django's lazy one, because it stays
English where it is kept, compared or sent as JSON.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils import text as text_utils
from django.utils.translation import gettext

from specs.phrase import phrase


def word(kept: str) -> str:
    """A word out of a few that is kept in English (a role, a unit a part is counted in), as the reader says it."""
    return gettext(kept) if kept else kept


def capfirst(text: str) -> str:
    """A text as it is said, with a capital: Django's own takes the letters of a phrase, which are English."""
    return text_utils.capfirst(str(text))


def offered(kept: Iterable[str]) -> list[tuple[str, str]]:
    """What a field offers: words as they are kept, each with what it is called when it is shown."""
    return [(one, phrase(one)) for one in kept]


def gettext_lazy(message: str, **values: Any) -> str:
    """Return a text that is looked up when it is shown; `values` are filled in then."""
    return phrase(message, **values)

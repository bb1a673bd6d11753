"""Texts of modules, said in the reader's language when they are shown.

Texts inside functions go through Django's `gettext` where they are made. A text that stands in a module is made before
anybody reads it. It is the engine's kind of text (`specs.phrase`) and not Django's lazy one, because it stays
English where it is kept, compared or sent as JSON.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.utils import text as text_utils
from django.utils.translation import gettext, trans_real

from specs.phrase import phrase


def leave_out_empty_catalogues() -> None:
    """Have a text looked up in those catalogues of the shop's language that hold any.

    A text that is nowhere translated, as each of the shop's own in its own language, is looked for in all of them, and
    five of six that libraries bring for English are empty.
    """
    held: Any = trans_real.translation(settings.LANGUAGE_CODE)
    while held is not None:
        while held._fallback is not None and not _says_anything(held._fallback):
            held._fallback = held._fallback._fallback
        held = held._fallback


def _says_anything(catalogue: Any) -> bool:
    # The message "" is the head of a file. What holds no catalogue at all says each message as it is, as the end does.
    return any(getattr(catalogue, "_catalog", {}).keys())


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

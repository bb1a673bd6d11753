"""Template words of the reference pages: symbols with their subscripts."""

from __future__ import annotations

import re

from django import template
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe

from specs.engine.working import pretty

register = template.Library()
_SUBSCRIPT = re.compile(r"_([A-Za-zΑ-ω0-9,]+)")


@register.filter
def subscripts(formula: str) -> SafeString:
    """Write "μ_G · F" with its subscript lowered; everything else is escaped."""
    return mark_safe(_SUBSCRIPT.sub(r"<sub>\1</sub>", conditional_escape(formula)))  # noqa: S308


@register.filter
def symbol(declared: str) -> SafeString:
    """Write a declared symbol as it is printed: "mu_G" as µ with a lowered G."""
    return subscripts(pretty(declared)) if declared else mark_safe("")

"""Template words of the reference pages: symbols with their subscripts."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString, mark_safe

from shop.calculate.answer_text import subscripts
from specs.engine.working import pretty

register = template.Library()
register.filter("subscripts", subscripts)


@register.filter
def symbol(declared: str) -> SafeString:
    """Write a declared symbol as it is printed: "mu_G" as µ with a lowered G."""
    return subscripts(pretty(declared)) if declared else mark_safe("")

"""A field of a form with its label, its help and what is wrong with it, beside each other; a form has dozens."""

from __future__ import annotations

from django.forms import BoundField
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shop.base.plain_html import text_html

_BRIEF = 46
"""Letters of a label and its help that stand on one line."""


def field_html(field: BoundField) -> SafeString:
    """The field as every page of the shop shows it; several boxes are a fieldset, their label its legend."""
    errors, help_text = field.errors, field.help_text
    opening, closing = _set_of(field) if field.use_fieldset else (field.label_tag(), "")
    wrong = " wrong" if errors else ""
    return mark_safe(
        f'<div class="field{wrong}">\n{opening}\n{_hint(field) if help_text else ""}\n'
        f"{_errors(field) if errors else ''}\n{field}{_understood(field)}\n{closing}\n</div>"
    )


def _set_of(field: BoundField) -> tuple[str, str]:
    by = field.aria_describedby
    described = f'\naria-describedby="{text_html(by)}"' if by else ""
    return f"\n<fieldset{described}>\n{field.legend_tag()}", "</fieldset>"


def _hint(field: BoundField) -> str:
    brief = " brief" if len(f"{field.label}{field.help_text}") < _BRIEF else ""
    return f'<p\nclass="hint{brief}"\nid="{text_html(field.auto_id)}_helptext">{text_html(field.help_text)}</p>'


def _errors(field: BoundField) -> str:
    said = "".join([f"<span>{text_html(error)}</span>" for error in field.errors])
    return f'\n<p class="error" id="{text_html(field.auto_id)}_error">{said}</p>\n'


def _understood(field: BoundField) -> str:
    understood = getattr(field.field, "understood", "")
    if not understood:
        return ""
    words = gettext("read as {understood}").format(understood=text_html(understood))
    return f'<p\nclass="understood">{words}</p>'

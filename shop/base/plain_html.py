"""A choice, a box and a label of a form as HTML: what the library's templates make of them, without a template each.

A list is narrowed down by suppliers, people, components; fifty options took as long as the fifty rows below them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from html import escape as escape_html
from typing import Any

from django.conf import settings
from django.db.models import Model
from django.template.base import render_value_in_context
from django.template.context import Context
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe

SELECT, OPTION = "django/forms/widgets/select.html", "django/forms/widgets/select_option.html"
INPUTS = frozenset(f"django/forms/widgets/{kind}.html" for kind in ("text", "date", "email", "hidden", "checkbox"))
LABEL = "django/forms/label.html"
_PLAIN = Context()
_MARKED = re.compile("[&<>\"']").search


def plain_html(template: str, context: Mapping[str, Any]) -> SafeString | None:
    """What one of the library's own templates for a choice, a box or a label makes; None for any other."""
    make = _maker(template, context)
    return mark_safe(make(context)) if make else None


def _maker(template: str, context: Mapping[str, Any]) -> Callable[[Mapping[str, Any]], str] | None:
    if template == LABEL:
        return _label
    if template in INPUTS:
        return _input
    return _select if template == SELECT and _has_plain_options(context) else None


def _has_plain_options(context: Mapping[str, Any]) -> bool:
    groups = context["widget"]["optgroups"]
    return all(option["template_name"] == OPTION for _, options, _ in groups for option in options)


def escaped(text: str) -> str:
    """Text as it stands in a page; most has nothing in it to be escaped."""
    return escape_html(text) if _MARKED(text) else text


def text_html(content: Any) -> str:
    """What stands for a value in a page, as the library's templates write it; the commonest four without asking it."""
    if type(content) is str:
        return escaped(content)
    if type(content) is SafeString:
        return content
    if type(content) is int and not settings.USE_THOUSAND_SEPARATOR:
        return str(content)
    if isinstance(content, Model):
        return text_html(str(content))
    return conditional_escape(content) if isinstance(content, str) else render_value_in_context(content, _PLAIN)


def _label(context: Mapping[str, Any]) -> str:
    label = text_html(context["label"])
    if not context["use_tag"]:
        return label
    tag = text_html(context["tag"])
    return f"<{tag}{_attributes(context['attrs'] or {})}>{label}</{tag}>"


def _input(context: Mapping[str, Any]) -> str:
    widget = context["widget"]
    value = "" if widget["value"] is None else f' value="{_as_text(widget["value"])}"'
    kind, name = (text_html(widget[key]) for key in ("type", "name"))
    return f'<input type="{kind}" name="{name}"{value}{_attributes(widget["attrs"])}>'


def _select(context: Mapping[str, Any]) -> str:
    widget = context["widget"]
    name = text_html(widget["name"])
    inside = "".join(_group(*group) for group in widget["optgroups"])
    return f'<select name="{name}"{_attributes(widget["attrs"])}>{inside}\n</select>'


def _group(name: Any, options: list[dict[str, Any]], _: int) -> str:
    inside = "".join(f"\n  {_option(option)}" for option in options)
    if not name:
        return inside
    return f'\n  <optgroup label="{text_html(name)}">{inside}\n  </optgroup>'


def _option(option: dict[str, Any]) -> str:
    label = text_html(option["label"])
    return f'<option value="{_as_text(option["value"])}"{_attributes(option["attrs"])}>{label}</option>'


def _attributes(attributes: Mapping[str, Any]) -> str:
    return "".join(_attribute(attributes))


def _attribute(attributes: Mapping[str, Any]) -> Iterator[str]:
    for name, value in attributes.items():
        if value is not False:
            said = "" if value is True else f'="{_as_text(value)}"'
            yield f" {text_html(name)}{said}"


def _as_text(value: Any) -> str:
    return text_html(value if isinstance(value, SafeString) else str(value))

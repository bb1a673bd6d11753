"""A choice of a form as HTML: what the library's templates make of it, without a template for each of its options.

A list is narrowed down by suppliers, people, components; fifty options took as long as the fifty rows below them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.template.base import render_value_in_context
from django.template.context import Context
from django.utils.html import conditional_escape
from django.utils.safestring import SafeData, SafeString, mark_safe

SELECT, OPTION = "django/forms/widgets/select.html", "django/forms/widgets/select_option.html"
_PLAIN = Context()


def is_plain_select(template: str, context: Mapping[str, Any]) -> bool:
    """Whether a widget is drawn by the library's own templates for a choice and its options."""
    return template == SELECT and all(
        option["template_name"] == OPTION for _, options, _ in context["widget"]["optgroups"] for option in options
    )


def select_html(widget: Mapping[str, Any]) -> SafeString:
    """A choice with its options, by the context that the library gives its template."""
    name = render_value_in_context(widget["name"], _PLAIN)
    inside = "".join(_group(*group) for group in widget["optgroups"])
    return mark_safe(f'<select name="{name}"{_attributes(widget["attrs"])}>{inside}\n</select>')


def _group(name: Any, options: list[dict[str, Any]], _: int) -> str:
    inside = "".join(f"\n  {_option(option)}" for option in options)
    if not name:
        return inside
    return f'\n  <optgroup label="{render_value_in_context(name, _PLAIN)}">{inside}\n  </optgroup>'


def _option(option: dict[str, Any]) -> str:
    label = render_value_in_context(option["label"], _PLAIN)
    return f'<option value="{_as_text(option["value"])}"{_attributes(option["attrs"])}>{label}</option>'


def _attributes(attributes: Mapping[str, Any]) -> str:
    return "".join(_attribute(attributes))


def _attribute(attributes: Mapping[str, Any]) -> Iterator[str]:
    for name, value in attributes.items():
        if value is not False:
            said = "" if value is True else f'="{_as_text(value)}"'
            yield f" {render_value_in_context(name, _PLAIN)}{said}"


def _as_text(value: Any) -> str:
    return conditional_escape(value if isinstance(value, SafeData) else str(value))

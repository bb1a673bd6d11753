"""What a page has dozens of as HTML, without a template each: choices, boxes, labels of forms, rows (`shop.base.rows`).

A list is narrowed down by suppliers, people, components; fifty options took as long as the fifty rows below them. Of
forms it is what the library's own templates make.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from html import escape as escape_html
from typing import Any

from django.conf import settings
from django.db.models import Model
from django.template.base import render_value_in_context
from django.template.context import Context
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe

from shop.base.rows import Row
from shop.base.written import unbroken

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


def rows_html(rows: Iterable[Row] | None, keep_acts: bool, token: Callable[[], str]) -> SafeString:
    """A list of rows; nothing where there are none. `token` gives the hidden field that a form of this page sends."""
    shown = "".join([_row(row, token) for row in rows or ()])
    return mark_safe(f'<ul class="list{" keep-acts" if keep_acts else ""}">{shown}</ul>\n' if shown else "\n")


def _row(row: Row, token: Callable[[], str]) -> str:
    under = f"\n<small>{_unbroken(row.under)}</small>" if row.under else ""
    note = f' <span\nclass="note">{_unbroken(row.note)}</span>' if row.note else ""
    return (
        f"\n<li>{_mark(row)}\n<div>{_name(row)}{note}</div>\n"
        f'<div class="figure{" red" if row.red else ""}">{text_html(row.figure)}{under}</div>\n'
        f'<div class="act{" first" if row.first else ""}">{_act(row, token)}</div></li>'
    )


def _mark(row: Row) -> str:
    if not row.mark:
        return '<span class="no-mark"></span>'
    said = f'<span class="hidden-words">{text_html(row.mark_words)}:</span>'
    return f'<span class="mark {text_html(row.mark)}">{said}</span>\n'


def _name(row: Row) -> str:
    name = _unbroken(row.name)
    if row.address:
        return f'<a class="name" href="{text_html(row.address)}">{name}</a>'
    return f'<span\nclass="name">{name}</span>'


def _act(row: Row, token: Callable[[], str]) -> str:
    if row.post:
        said = f'<button>{text_html(row.act)}<span class="hidden-words"> {text_html(row.name)}</span></button>'
        return f'<form method="post" action="{text_html(row.post)}">\n{token()}{said}</form>\n'
    if row.act and row.to:
        said = f'{text_html(row.act)}<span class="hidden-words">: {text_html(row.name)}</span>'
        return f'<a href="{text_html(row.to)}">{said}</a>\n'
    return ""


def _unbroken(words: Any) -> str:
    text = str(words)
    return unbroken(text) if isinstance(text, SafeString) else text_html(unbroken(text))

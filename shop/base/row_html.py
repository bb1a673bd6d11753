"""Rows (`shop.base.rows`) as HTML: pages show hundreds, and a template asks for each word of each by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from shop.base.plain_html import text_html
from shop.base.rows import Row
from shop.base.written import unbroken


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

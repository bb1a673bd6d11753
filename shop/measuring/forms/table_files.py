"""Files sent in place of pasted rows: their cells go into the form's text, so that the second press has them too."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from shop.base.language import gettext_lazy
from shop.base.sheets import SheetError, as_text, content_of, rows_of


def file_field(label: str) -> forms.FileField:
    """A field for a table in a file."""
    return forms.FileField(
        label=label,
        required=False,
        allow_empty_file=True,
        help_text=gettext_lazy("CSV, TSV, XLSX or ODS; or text with blanks between."),
    )


def take_files(form: forms.BaseForm, texts: Mapping[str, str]) -> dict[str, str]:
    """Put the cells of each file sent into its text field (`texts`: text field by file field).

    Returns what is wrong with a file, in words, by its text field.
    """
    wrong: dict[str, str] = {}
    for name, text_name in texts.items():
        file: Any = form.files.get(name)
        if not form.is_bound or not file:
            continue
        try:
            text = text_of(file)
        except SheetError as refused:
            wrong[text_name] = str(refused)
        else:
            form.data = {**form.data.dict(), text_name: text}  # type: ignore[attr-defined]
    return wrong


def text_of(file: Any) -> str:
    """The cells of a file that was sent, as separated text. Raises SheetError."""
    return as_text(rows_of(content_of(file)))

"""The form that brings in past orders from a file."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.day_order import ORDERS
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.sheets import KINDS, SheetError, as_text, content_of, rows_of
from shop.orders.order_table import COLUMNS


class ImportForm(Form):
    """A file of past orders, or its rows pasted; and where its days may be read in two ways, how they are meant."""

    LONGEST = 3_000_000

    file = forms.FileField(label=gettext_lazy("{KINDS} file", KINDS=KINDS), required=False)
    text = forms.CharField(
        label=gettext_lazy("Or its rows, pasted from a sheet"),
        required=False,
        widget=forms.Textarea({"rows": 8}),
        max_length=LONGEST,
    )
    day_order = forms.ChoiceField(
        label=gettext_lazy("Days in this file are written as"),
        required=False,
        choices=[("", gettext_lazy("not said")), *ORDERS.items()],
        widget=forms.HiddenInput,
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        file = data.get("file")
        if not file and not (data.get("text") or "").strip() and not self.errors:
            self.add_error("file", gettext("Choose a file, or paste its rows."))
        elif file:
            self._read(file)
        return data

    def _read(self, file: Any) -> None:
        try:
            self.text_of_file = as_text(_known_columns(rows_of(content_of(file))))
        except SheetError as refused:
            self.add_error("file", str(refused))
            return
        if len(self.text_of_file) > self.LONGEST:
            self.add_error(
                "file", gettext("This file holds too much text to be looked at in one go: bring it in in parts.")
            )

    @property
    def content(self) -> str:
        """What was sent, as text."""
        return self.text_of_file if self.cleaned_data.get("file") else self.cleaned_data["text"]

    def ask_day_order(self) -> None:
        """Show the question how days are written."""
        self.fields["day_order"].widget = forms.Select(choices=self.fields["day_order"].choices)  # type: ignore[attr-defined]


def _known_columns(rows: list[list[str]]) -> list[list[str]]:
    """Leave out columns that an import does not read, where the first row names any that it does."""
    headings = [name.strip().lower() for name in rows[0]] if rows else []
    if not any(name in COLUMNS for name in headings):
        return rows
    unread = [at for at, name in enumerate(headings) if name not in COLUMNS]
    return [[cell for at, cell in enumerate(row) if at not in unread] for row in rows]

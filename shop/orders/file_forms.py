"""Forms that bring in a file: past orders, and a document of an order."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop.base.forms import Form
from shop.base.sheets import SheetError, as_text, rows_of
from shop.orders.file_kinds import ALLOWED, MOST_BYTES, too_large
from shop.orders.models.document import PAPERS


class ImportForm(Form):
    """A file of past orders, or its text."""

    LARGEST = 2_000_000

    file = forms.FileField(label="CSV or XLSX file", required=False)
    text = forms.CharField(label="or its text", required=False, widget=forms.Textarea({"rows": 8}), max_length=LARGEST)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        file = data.get("file")
        if file and file.size > self.LARGEST:
            self.add_error("file", "The file is larger than 2 MB; bring it in in parts.")
        elif not file and not (data.get("text") or "").strip() and not self.errors:
            self.add_error("file", "Choose a file, or paste its text.")
        elif file:
            self._read(file)
        return data

    def _read(self, file: Any) -> None:
        try:
            self.text_of_file = as_text(rows_of(file.read()))
        except SheetError as refused:
            self.add_error("file", str(refused))

    @property
    def content(self) -> str:
        """What was sent, as text."""
        return self.text_of_file if self.cleaned_data.get("file") else self.cleaned_data["text"]


class DocumentForm(Form):
    """A file to keep with an order, and what it is."""

    file = forms.FileField(
        help_text=f"{ALLOWED}; at most {MOST_BYTES / 1e6:g} MB. A browser forgets the file when something is wrong: "
        "choose it again then."
    )
    paper = forms.ChoiceField(label="What it is", choices=list(PAPERS.items()))
    note = forms.CharField(label="What to know of it", required=False, max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = {"required": "Choose a file.", "missing": "Choose a file.", "empty": "The file is empty."}
        self.fields["file"].error_messages |= words
        self.fields["file"].widget.attrs["accept"] = ".pdf,.png,.jpg,.jpeg,.txt,.csv"

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        # Refused by its size alone: a film is not read into memory first.
        if file.size > MOST_BYTES:
            raise ValidationError(too_large(file.size))
        return file

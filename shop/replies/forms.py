"""What is sent to bring a reply in, and to say which order it is about."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.orders.models import Order
from shop.replies.models import Reply

MOST_BYTES = 10_000_000


class ReplyFileForm(Form):
    """A message saved as .eml."""

    file = forms.FileField(
        label=gettext_lazy("Message"),
        help_text=gettext_lazy("Saved from the mail program as .eml, at most 10 MB. It is read, not sent."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = {
            "required": gettext("Choose a file."),
            "missing": gettext("Choose a file."),
            "empty": gettext("The file is empty."),
        }
        self.fields["file"].error_messages |= words
        self.fields["file"].widget.attrs["accept"] = ".eml,message/rfc822"

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise ValidationError(
                gettext("The message is larger than 10 MB: keep its attachments with the order instead.")
            )
        return file


class ThreadForm(VersionedForm):
    """The order that a reply is about, by its number."""

    number = forms.CharField(
        label=gettext_lazy("Our order number"),
        required=False,
        max_length=30,
        help_text=gettext_lazy("Empty: about none."),
    )

    class Meta:
        model = Reply
        fields: list[str] = []

    def clean_number(self) -> Order | None:
        typed = self.cleaned_data["number"].strip()
        order = Order.objects.active().filter(number=typed).first() if typed else None
        if typed and order is None:
            raise ValidationError(gettext("No order has the number {typed}.").format(typed=typed))
        return order

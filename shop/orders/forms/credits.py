"""What is typed of a supplier's credit note."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.base.fields import DayField
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.orders.credits import BOTH, INSTEAD
from shop.orders.fields import MoneyField
from shop.orders.models import Credit


class CreditForm(VersionedForm):
    """One credit note, and the day its money came; without that day it stays on the list of what is owed."""

    on = DayField(label=gettext_lazy("Dated"))
    amount = MoneyField(gettext_lazy("Amount with tax"))
    came_on = DayField(
        label=gettext_lazy("The money came on"),
        required=False,
        help_text=gettext_lazy("Empty: not yet. It stays owed until then."),
    )

    class Meta:
        model = Credit
        fields = ["number", "on", "amount", "came_on", "note"]


class WhichCreditForm(CreditForm):
    """A credit note for pieces that were to be sent again: asked first what it means."""

    settles = forms.ChoiceField(
        label=gettext_lazy("They were to be sent again. This credit note means:"),
        widget=forms.RadioSelect,
        choices=[
            (INSTEAD, gettext_lazy("money instead: they are not sent again")),
            (BOTH, gettext_lazy("both: they are sent again, and invoiced anew")),
        ],
        error_messages={"required": gettext_lazy("Say whether the money comes instead, or both do.")},
    )
    field_order: Any = ["settles"]

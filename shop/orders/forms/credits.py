"""What is typed of a supplier's credit note."""

from __future__ import annotations

from shop.base.fields import DayField
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.models import Credit


class CreditForm(VersionedForm):
    """One credit note, and the day its money came; without that day it stays on the list of what is owed."""

    on = DayField(label="Dated")
    amount = MoneyField("Amount with tax")
    came_on = DayField(label="The money came on", required=False, help_text="Empty: not yet. It stays owed until then.")

    class Meta:
        model = Credit
        fields = ["number", "on", "amount", "came_on", "note"]

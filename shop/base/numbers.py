"""Form fields for numbers as people type them, and what is said of one that cannot be."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from specs.written import figures

_AMBIGUOUS = re.compile(r"^[+-]?\d{1,3}([.,]\d{3})+$")

NUMBER_ERRORS = {
    "min_value": gettext_lazy("Give %(limit_value)s or more."),
    "max_value": gettext_lazy("Give %(limit_value)s or less."),
    "max_digits": gettext_lazy("That is too large: no more than %(max)s digits can be kept."),
    "max_whole_digits": gettext_lazy("That is too large: no more than %(max)s digits before the point can be kept."),
    "max_decimal_places": gettext_lazy("Give no more than %(max)s digits after the point."),
}
"""What every number box of the shop says, by the code of the fault."""


def in_a_box(value: Any) -> Any:
    """A number of ours with the reader's mark, but never so that its own form would ask what was meant."""
    if not isinstance(value, Decimal | float):
        return value
    text = figures(str(value))
    return str(value) if _AMBIGUOUS.match(text) else text


def without_zeros(value: Any) -> Any:
    """A decimal number without the zeros after its last place: 4.50 as 4.5, and 100 as 100."""
    if not isinstance(value, Decimal) or not value.is_finite():
        return value
    return value.quantize(Decimal(1)) if value == value.to_integral_value() else value.normalize()


class AmountField(forms.DecimalField):
    """A number with a decimal point or comma. "1,250" may mean two things, and is refused with both named."""

    default_error_messages = {**NUMBER_ERRORS, "invalid": gettext_lazy("Give a number, for example 12 or 12.50.")}
    is_money = False
    widget = forms.TextInput  # a box for numbers would lose what it cannot read, "1,5" among it

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        """The phone's keys for it, also where the field joins its form late."""
        return {**super().widget_attrs(widget), "inputmode": "decimal", "class": widget.attrs.get("class", "short")}

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str):
            value = self._with_point(value.strip())
        return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        """The number for its box: one piece is 1, not 1.00; of money every place is shown."""
        return in_a_box(value if self.is_money else without_zeros(value))

    def _with_point(self, text: str) -> str:
        if "," in text and _AMBIGUOUS.match(text):
            small, large = text.replace(",", ".", 1), text.replace(",", "").replace(".", "")
            raise ValidationError(
                gettext("“{text}” may mean {small} or {large}: write it without the comma.").format(
                    text=text, small=small, large=large
                ),
                code="two",
            )
        return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text

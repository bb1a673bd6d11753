"""Money: one currency in the whole shop, amounts in decimals, tax worked out once an order.

The rule of rounding: the amount of each line is rounded to the cent, halves up; the tax is worked out on the sum of the
lines and rounded once, the same way. So the lines add up to the amount without tax, and that and the tax to the total.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext

from specs.written import num

CENT = Decimal("0.01")


def to_cents(amount: Decimal) -> Decimal:
    """Round to the cent, halves up (away from zero below it).

    >>> to_cents(Decimal("2.675")), to_cents(Decimal("0.125"))
    (Decimal('2.68'), Decimal('0.13'))
    """
    return Decimal(amount).quantize(CENT, ROUND_HALF_UP)


def in_money(amount: Decimal, currency: str) -> str:
    """An amount as it is shown and printed: the currency's code of ISO 4217 and two places.

    >>> in_money(Decimal("1234.5"), "EUR")
    'EUR 1234.50'
    """
    return f"{currency} {num(to_cents(amount), '.2f')}"


@dataclass(frozen=True)
class Taxed:
    """An amount without tax and the rate of tax on it [%]; from them the tax and the amount with it."""

    without_tax: Decimal
    percent: Decimal

    @property
    def tax(self) -> Decimal:
        return to_cents(self.without_tax * self.percent / 100)

    @property
    def with_tax(self) -> Decimal:
        return self.without_tax + self.tax

    @property
    def percent_words(self) -> str:
        """The rate without empty noughts: "20", "8.1"."""
        return num(Decimal(self.percent).normalize(), "f")

    def words(self, currency: str) -> str:
        """All three in one phrase.

        >>> Taxed(Decimal("180.00"), Decimal("20.00")).words("EUR")
        'EUR 180.00 without tax, EUR 36.00 tax (20 %), EUR 216.00 with tax'
        """
        without, tax, total = (in_money(amount, currency) for amount in (self.without_tax, self.tax, self.with_tax))
        return gettext("{without} without tax, {tax} tax ({percent_words} %), {total} with tax").format(
            without=without, tax=tax, percent_words=self.percent_words, total=total
        )

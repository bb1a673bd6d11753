"""What an order comes to: goods, discount, freight and tax, in the supplier's currency and in ours. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shop.base.money import Taxed, to_cents


@dataclass(frozen=True)
class Amounts:
    """The goods are the sum of the lines; the discount [%] is on the goods, the tax [%] on goods and freight.

    `rate` is what one unit of the order's currency is in the shop's, as typed with the order.

    >>> Amounts(Decimal("200.00"), Decimal(5), Decimal("12.00"), Decimal(20), Decimal("0.92")).net
    Decimal('202.00')
    """

    goods: Decimal
    discount_percent: Decimal = Decimal(0)
    freight: Decimal = Decimal(0)
    tax_percent: Decimal = Decimal(0)
    rate: Decimal = Decimal(1)

    @property
    def discount(self) -> Decimal:
        return to_cents(self.goods * self.discount_percent / 100)

    @property
    def net(self) -> Decimal:
        """Without tax."""
        return self.goods - self.discount + self.freight

    @property
    def taxed(self) -> Taxed:
        return Taxed(self.net, self.tax_percent)

    @property
    def net_in_ours(self) -> Decimal:
        """Without tax, in the shop's currency."""
        return to_cents(self.net * self.rate)

    @property
    def total_in_ours(self) -> Decimal:
        """With tax, in the shop's currency."""
        return to_cents(self.taxed.with_tax * self.rate)

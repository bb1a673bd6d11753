"""What a supplier's invoice says, line by line, against what was ordered and what came: pure rules, no database."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from django.utils.translation import gettext

from shop.base.money import CENT, Taxed, in_money, to_cents
from shop.base.written import count
from shop.orders.amounts import Amounts

NOTHING = Decimal(0)
USUAL_TERM = 30
"""Days to pay in, where nobody said; common practice, no source."""
_DAYS = re.compile(r"(\d{1,3})\s*(?:days?|d)\b", re.IGNORECASE)


def days_to_pay(terms: str) -> int:
    """Return the days to pay in that a supplier's terms name; of several the last, which is without discount.

    >>> days_to_pay("2 % within 10 days, 45 days net"), days_to_pay("in advance"), days_to_pay("")
    (45, 0, 30)
    """
    named = _DAYS.findall(terms)
    if named:
        return int(named[-1])
    return 0 if re.search(gettext(r"advance|prepa|on delivery|at once"), terms, re.IGNORECASE) else USUAL_TERM


@dataclass(frozen=True)
class Billed:
    """One line of an invoice: pieces of an order line, beside what is known of that line.

    `came` is without pieces that went back to be replaced; `left` is still to come; `uncredited` went back for money
    without a credit note; `elsewhere` are the pieces of it on invoices that come before, with their numbers.
    """

    what: str
    order: int
    quantity: Decimal
    price: Decimal
    ordered: Decimal
    ordered_price: Decimal
    came: Decimal
    left: Decimal = NOTHING
    cancelled: Decimal = NOTHING
    uncredited: Decimal = NOTHING
    elsewhere: tuple[tuple[str, Decimal], ...] = ()

    @property
    def before(self) -> Decimal:
        """The pieces on invoices that come before."""
        return sum((pieces for _, pieces in self.elsewhere), NOTHING)

    @property
    def due(self) -> Decimal:
        """The pieces of it that are to be paid: here, kept, and on no invoice before."""
        open_pieces = max(NOTHING, self.came - self.uncredited - self.before)
        return min(self.quantity, open_pieces)

    @property
    def spared(self) -> Decimal:
        """The pieces that went back and that no invoice asks for: no money for them is to come."""
        return max(NOTHING, min(self.uncredited, self.came - self.before - self.quantity))

    def differences(self, currency: str) -> Iterator[str]:
        """Say in words what a careful person would ask about this line before paying it."""
        if self.price > self.ordered_price:
            yield self._dearer(currency)
        above = min(self.quantity, max(NOTHING, self.quantity + self.before - self.came))
        parts = ((self.left, gettext("still to come")), (self.cancelled, gettext("cancelled, billed all the same")))
        rest = above
        for most, words in parts:
            if pieces := min(rest, most):
                yield gettext("{what}: {count} billed, {words}.").format(
                    what=self.what, count=count(pieces), words=words
                )
            rest -= pieces
        if rest and self.elsewhere:
            numbers = ", ".join(number for number, _ in self.elsewhere)
            yield gettext("{what}: {count} billed twice, on invoice {numbers} already.").format(
                what=self.what, count=count(rest), numbers=numbers
            )
        elif rest:
            yield gettext("{what}: {count} billed more than came.").format(what=self.what, count=count(rest))
        if back := self.quantity - above - self.due:
            yield gettext("{what}: {count} went back, and no credit note of it is on record.").format(
                what=self.what, count=count(back)
            )

    def _dearer(self, currency: str) -> str:
        if not self.ordered_price:
            return gettext("{what}: {in_money} each; no price was agreed with the order.").format(
                what=self.what, in_money=in_money(self.price, currency)
            )
        risen = in_money(to_cents((self.price - self.ordered_price) * self.quantity), currency)
        was, now = in_money(self.ordered_price, currency), in_money(self.price, currency)
        return gettext("{what}: price risen from {was} to {now} each, {risen} in all.").format(
            what=self.what, was=was, now=now, risen=risen
        )


def spared(returned: Iterable[Decimal], came: Decimal, billed: Decimal) -> list[Decimal]:
    """Return of each return for money, the oldest first, the pieces that no invoice asks for.

    `came` is without pieces that went back to be replaced. No money is owed for what was never billed.

    >>> spared([Decimal(1), Decimal(2)], came=Decimal(6), billed=Decimal(4))
    [Decimal('1'), Decimal('1')]
    """
    left, found = max(NOTHING, came - billed), []
    for pieces in returned:
        found.append(min(pieces, left))
        left -= found[-1]
    return found


@dataclass(frozen=True)
class InvoiceFacts:
    """One invoice: its lines, and the terms of each order (by its key) that they are of.

    `discount` and `tax` are None where the paper was not typed that far: as agreed. `freight_before` is the freight on
    earlier invoices of the same orders.
    """

    lines: tuple[Billed, ...]
    orders: Mapping[int, Amounts]
    amount: Decimal
    freight: Decimal = NOTHING
    freight_before: Decimal = NOTHING
    discount: Decimal | None = None
    tax: Decimal | None = None

    @property
    def freight_agreed(self) -> Decimal:
        """The freight of its orders that no earlier invoice asked for."""
        agreed = sum((terms.freight for terms in self.orders.values()), NOTHING)
        return max(NOTHING, agreed - self.freight_before)

    @property
    def delivered(self) -> Decimal:
        """What is to be paid of it as ordered, with tax: pieces that are due, and freight as far as agreed."""
        goods = self._by_order((line.order, line.due * line.ordered_price) for line in self.lines)
        return self._with_tax(goods, min(self.freight, self.freight_agreed))

    @property
    def said(self) -> Decimal:
        """What its own lines, discount, freight and tax come to."""
        return self._net + (self.tax_agreed if self.tax is None else self.tax)

    @property
    def discount_agreed(self) -> Decimal:
        """The discount of its orders on its lines as billed."""
        return sum((self._terms(key, amount).discount for key, amount in self._goods.items()), NOTHING)

    @property
    def tax_agreed(self) -> Decimal:
        """The tax at its orders' rates on its lines, discount and freight as billed."""
        return self._with_tax(self._goods, self.freight - self._taken_off) - self._net

    def doubts(self, currency: str) -> list[str]:
        """Say in words what a careful person would ask before paying it: line by line, then of the whole."""
        if not self.lines:
            return [gettext("Nothing that was ordered is matched to it.")]
        return [
            *(words for line in self.lines for words in line.differences(currency)),
            *self._of_terms(currency),
            *self._of_total(currency),
        ]

    def _of_terms(self, currency: str) -> Iterator[str]:
        if self.freight > self.freight_agreed:
            agreed, asked = in_money(self.freight_agreed, currency), in_money(self.freight, currency)
            more = " more" if self.freight_before else ""
            yield gettext("Freight of {agreed}{more} was agreed, not {asked}.").format(
                agreed=agreed, more=more, asked=asked
            )
        if self.discount is not None and self._taken_off < 0:
            agreed, given = in_money(self.discount_agreed, currency), in_money(self.discount, currency)
            yield gettext("A discount of {agreed} was agreed, not {given}.").format(agreed=agreed, given=given)
        # A paper may round the tax of each line by itself; common practice, no source.
        if self.tax is not None and self.tax - self.tax_agreed > CENT * len(self.lines):
            agreed, asked = in_money(self.tax_agreed, currency), in_money(self.tax, currency)
            yield gettext("The tax at the rate of its order is {agreed}, not {asked}.").format(
                agreed=agreed, asked=asked
            )

    def _of_total(self, currency: str) -> Iterator[str]:
        if self.amount > self.said:
            yield gettext("Its own lines, freight and tax come to {in_money}.").format(
                in_money=in_money(self.said, currency)
            )
        if (above := self.amount - self.delivered) > 0:
            yield gettext("It is {in_money} above what was delivered.").format(in_money=in_money(above, currency))

    @property
    def _goods(self) -> dict[int, Decimal]:
        """Its lines as billed, without tax and discount, by order."""
        return self._by_order((line.order, line.quantity * line.price) for line in self.lines)

    @property
    def _taken_off(self) -> Decimal:
        """By how much its discount is above the one agreed."""
        return NOTHING if self.discount is None else self.discount - self.discount_agreed

    @property
    def _net(self) -> Decimal:
        """Without tax, as billed."""
        nets = (self._terms(key, amount).net for key, amount in self._goods.items())
        return sum(nets, self.freight - self._taken_off)

    def _by_order(self, amounts: Iterable[tuple[int, Decimal]]) -> dict[int, Decimal]:
        sums: dict[int, Decimal] = {}
        for order, amount in amounts:
            sums[order] = sums.get(order, NOTHING) + to_cents(amount)
        return sums

    def _terms(self, order: int, goods: Decimal) -> Amounts:
        return replace(self.orders[order], goods=goods, freight=NOTHING)

    def _with_tax(self, goods: Mapping[int, Decimal], besides: Decimal) -> Decimal:
        """Goods with discount and tax, worked out once an order; what is besides is taxed like the first."""
        total = NOTHING
        for key, amount in goods.items():
            terms = self._terms(key, amount)
            total, besides = total + Taxed(terms.net + besides, terms.tax_percent).with_tax, NOTHING
        return total + besides

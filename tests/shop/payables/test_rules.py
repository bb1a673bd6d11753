"""An invoice as pure figures: what is due of it, what its own lines come to, and what is asked about.

Rounding: the tax is worked out once an order and rounded halves up (ISO 80000-1:2009, annex B, rule B: quoted from
memory); each amount is checked here by hand.
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.orders.amounts import Amounts
from shop.payables.rules import Billed, InvoiceFacts

PIECES = st.integers(0, 9).map(Decimal)


def billed(**changes):
    usual = {
        "what": "disc",
        "order": 1,
        "quantity": Decimal(3),
        "price": Decimal("9.99"),
        "ordered": Decimal(3),
        "ordered_price": Decimal("9.99"),
        "came": Decimal(3),
    }
    return Billed(**{**usual, **changes})


def paper(*lines, terms=None, **changes):
    amount = changes.pop("amount", "100000")
    return InvoiceFacts(lines, {1: terms or Amounts(Decimal(0), tax_percent=Decimal(20))}, Decimal(amount), **changes)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"ordered": Decimal(5), "left": Decimal(2), "quantity": Decimal(5)}, "disc: 2 billed, still to come."),
        (
            {"ordered": Decimal(4), "cancelled": Decimal(1), "quantity": Decimal(4)},
            "disc: 1 billed, cancelled, billed all the same.",
        ),
        ({"quantity": Decimal(4)}, "disc: 1 billed more than came."),
        ({"elsewhere": (("R 1", Decimal(3)),)}, "disc: 3 billed twice, on invoice R 1 already."),
        ({"uncredited": Decimal(1)}, "disc: 1 went back, and no credit note of it is on record."),
        ({"price": Decimal("10.49")}, "disc: price risen from EUR 9.99 to EUR 10.49 each, EUR 1.50 in all."),
        ({"ordered_price": Decimal(0)}, "disc: EUR 9.99 each; no price was agreed with the order."),
    ],
)
def test_what_differs_of_a_line_is_said_in_one_sentence(changes, words):
    assert list(billed(**changes).differences("EUR")) == [words]


def test_a_right_line_and_a_cheaper_one_are_not_asked_about():
    assert not list(billed().differences("EUR"))
    assert not list(billed(price=Decimal("9.50")).differences("EUR"))
    kept = billed(quantity=Decimal(2), uncredited=Decimal(1))
    assert (list(kept.differences("EUR")), kept.spared) == ([], 1), "what went back is not billed"
    assert billed(uncredited=Decimal(1)).spared == 0
    part = billed(quantity=Decimal(1), elsewhere=(("R 1", Decimal(2)),))
    assert not list(part.differences("EUR")), "the rest of what came, on a second invoice"


def test_discount_freight_and_tax_are_as_agreed_unless_the_paper_says_otherwise():
    """29.97 less 10 % (3.00) and 6 of freight are 32.97; 20 % of it 6.594 → 6.59; together 39.56."""
    terms = Amounts(Decimal(0), Decimal(10), Decimal(6), Decimal(20))
    right = paper(billed(), terms=terms, freight=Decimal(6), amount="39.56")
    assert (right.said, right.delivered, right.doubts("EUR")) == (Decimal("39.56"), Decimal("39.56"), [])
    rounded = paper(billed(), terms=terms, freight=Decimal(6), amount="39.56", tax=Decimal("6.60"))
    assert rounded.doubts("EUR") == [], "a cent of rounding a line"
    less = paper(billed(), terms=terms, freight=Decimal(6), amount="41.36", discount=Decimal("1.50"))
    assert less.doubts("EUR") == [
        "A discount of EUR 3.00 was agreed, not EUR 1.50.",
        "It is EUR 1.80 above what was delivered.",
    ]
    again = paper(billed(), terms=terms, freight=Decimal(6), freight_before=Decimal(6), amount="39.56")
    assert "Freight of EUR 0.00 more was agreed, not EUR 6.00." in again.doubts("EUR")
    wrong = paper(billed(), terms=terms, freight=Decimal(6), amount="40.00")
    assert "Its own lines, freight and tax come to EUR 39.56." in wrong.doubts("EUR")


@given(PIECES, PIECES, PIECES, PIECES, PIECES)
def test_whatever_is_billed_beyond_what_is_due_is_said(quantity, came, left, back, before):
    """No piece above those that came, were kept and are on no earlier invoice passes without a word."""
    elsewhere = (("R 1", before),) if before else ()
    line = billed(quantity=quantity, came=came, left=left, uncredited=back, elsewhere=elsewhere)
    allowed = came - back - before
    assert bool(list(line.differences("EUR"))) == (quantity > max(Decimal(0), allowed))
    assert Decimal(0) <= line.due <= quantity

"""The rule of rounding: each line to the cent, the tax once on their sum, halves up."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.base.money import Taxed, in_money, to_cents

AMOUNTS = st.decimals(0, 1_000_000, places=2)


@pytest.mark.parametrize(
    ("exact", "rounded"),
    [
        ("0.005", "0.01"),
        ("0.015", "0.02"),
        ("0.025", "0.03"),
        ("2.6749", "2.67"),
        ("2.675", "2.68"),
        ("-0.005", "-0.01"),
    ],
)
def test_halves_go_up_never_to_the_even_cent(exact, rounded):
    assert to_cents(Decimal(exact)) == Decimal(rounded)


@pytest.mark.parametrize(
    ("without", "percent", "tax", "total"),
    [
        # Worked by hand: 100.07 × 0.19 = 19.0133; 0.25 × 0.10 = 0.025; 33.33 × 0.081 = 2.69973.
        ("100.07", "19", "19.01", "119.08"),
        ("0.25", "10", "0.03", "0.28"),
        ("33.33", "8.1", "2.70", "36.03"),
        ("180.00", "0", "0.00", "180.00"),
    ],
)
def test_the_tax_is_rounded_once_on_the_sum(without, percent, tax, total):
    taxed = Taxed(Decimal(without), Decimal(percent))
    assert (taxed.tax, taxed.with_tax) == (Decimal(tax), Decimal(total))


@given(AMOUNTS, st.decimals(0, 100, places=2))
def test_the_three_amounts_always_add_up_to_the_cent(without, percent):
    taxed = Taxed(without, percent)
    assert taxed.without_tax + taxed.tax == taxed.with_tax
    assert abs(taxed.tax - without * percent / 100) <= Decimal("0.005")


def test_an_amount_is_shown_with_its_currency_and_two_places():
    assert in_money(Decimal("7"), "NOK") == "NOK 7.00"
    assert (
        Taxed(Decimal("10.00"), Decimal("20.00")).words("EUR").startswith("EUR 10.00 without tax, EUR 2.00 tax (20 %)")
    )

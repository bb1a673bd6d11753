"""A number box reads a comma and says in plain words what cannot be."""

from decimal import Decimal

import pytest
from django import forms
from django.core.exceptions import ValidationError

from shop.base.forms import Form
from shop.base.numbers import AmountField


class Boxes(Form):
    count = forms.IntegerField(min_value=1, max_value=150, required=False)
    share = forms.FloatField(max_value=0.5, required=False)
    amount = AmountField(min_value=0, max_digits=5, decimal_places=2, required=False)


@pytest.mark.parametrize(("typed", "amount"), [("1,5", "1.5"), ("1.5", "1.5"), (" 12 ", "12"), ("0", "0")])
def test_point_and_comma_are_read_alike(typed, amount):
    assert AmountField().clean(typed) == Decimal(amount)


@pytest.mark.parametrize("typed", ["1,250", "12.345,678"])
def test_what_may_mean_two_things_is_refused_with_both(typed):
    with pytest.raises(ValidationError, match="may mean"):
        AmountField().clean(typed)


@pytest.mark.parametrize(
    ("box", "typed", "words"),
    [
        ("count", "0", "Give 1 or more."),
        ("count", "151", "Give 150 or less."),
        ("share", "0.6", "Give 0.5 or less."),
        ("amount", "-0.01", "Give 0 or more."),
        ("amount", "99999999", "That is too large: no more than 5 digits can be kept."),
        ("amount", "9999", "That is too large: no more than 3 digits before the point can be kept."),
        ("amount", "1.234", "Give no more than 2 digits after the point."),
        ("amount", "a few", "Give a number, for example 12 or 12.50."),
    ],
)
def test_what_cannot_be_is_said_in_plain_words(box, typed, words):
    assert Boxes({box: typed}).errors == {box: [words]}

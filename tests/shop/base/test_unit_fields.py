"""What a person types in a field with a unit, what is understood of it, and what they see again."""

import pytest
from django.http import QueryDict

from shop.base.fields import UnitField
from shop.base.forms import Form
from tests.pages import collapsed


class BoreForm(Form):
    bore = UnitField(kind="length", label="Bore")


def sent(text: str, unit: str = "mm") -> QueryDict:
    data = QueryDict(mutable=True)
    data.update({"bore": text, "bore-unit": unit})
    return data


@pytest.mark.parametrize(
    ("typed", "metres"),
    [("3.5 in", 0.0889), ("3 1/2 in", 0.0889), ("88,9", 0.0889), ("88.9", 0.0889), (" 88.9 mm ", 0.0889), ("0", 0.0)],
)
def test_reads_what_people_write(typed: str, metres: float) -> None:
    form = BoreForm(sent(typed))
    assert form.is_valid(), form.errors
    assert form.cleaned_data["bore"].value == pytest.approx(metres, rel=1e-12)


def test_says_what_it_understood_and_keeps_what_was_typed() -> None:
    page = str(BoreForm(sent("3 1/2 in")))
    assert 'value="3 1/2 in"' in page
    assert "read as 88.9 mm" in page


@pytest.mark.parametrize(("typed", "words"), [("3.5 kg", "length"), ("1,250", "1250"), ("wide", "not a number")])
def test_refuses_in_words_beside_the_field_and_keeps_the_text(typed: str, words: str) -> None:
    form = BoreForm(sent(typed))
    assert not form.is_valid()
    page = str(form)
    assert words in page
    assert f'value="{typed}"' in page
    assert 'aria-invalid="true"' in page
    assert 'aria-describedby="id_bore_error"' in page


def test_prints_the_readers_unit_and_reads_a_bare_number_in_it() -> None:
    form = BoreForm(sent("3.5", "in"), system="inch")
    assert form.is_valid()
    assert form.cleaned_data["bore"].value == pytest.approx(0.0889)
    assert '<span class="unit" aria-hidden="true">in</span>' in collapsed(form)


def test_a_change_of_preference_elsewhere_does_not_turn_millimetres_into_inches() -> None:
    printed_in_mm_but_sent_by_an_inch_reader = BoreForm(sent("88.9", "mm"), system="inch")
    assert printed_in_mm_but_sent_by_an_inch_reader.is_valid()
    assert printed_in_mm_but_sent_by_an_inch_reader.cleaned_data["bore"].value == pytest.approx(0.0889)


def test_a_unit_that_was_never_printed_is_not_believed() -> None:
    form = BoreForm(sent("88.9", "ft"))
    assert form.is_valid()
    assert form.cleaned_data["bore"].value == pytest.approx(0.0889)


def test_an_empty_required_field_is_refused() -> None:
    assert "Fill this in." in str(BoreForm(sent("")))


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_a_stored_value_comes_back_unchanged(system: str) -> None:
    stored = 0.0889345678
    form = BoreForm(initial={"bore": stored}, system=system)
    shown = form.fields["bore"].prepare_value(stored)
    again = BoreForm(sent(shown, form.fields["bore"].unit), initial={"bore": stored}, system=system)
    assert again.is_valid()
    assert again.cleaned_data["bore"].value == pytest.approx(stored, rel=1e-10)
    assert not again.has_changed()

"""A form that was refused: the summary above says the same words as the field, and leads to it."""

from django import forms
from django.forms import formset_factory
from django.template import Context, Template
from django.test import RequestFactory

from shop.base.forms import Form, errors_of
from tests.pages import collapsed


class PairForm(Form):
    wide = forms.IntegerField(label="Width")
    grade = forms.ChoiceField(choices=[("8.8", "8.8"), ("10.9", "10.9")], widget=forms.RadioSelect)

    def clean(self) -> None:
        self.add_error(None, "These two do not go together.")


def render(source: str, **context: object) -> str:
    return Template(source).render(Context({"request": RequestFactory().get("/"), **context}))


def test_each_line_leads_to_its_field_in_the_same_words() -> None:
    form = PairForm({"wide": "broad"})
    page = collapsed(render("{% error_summary form %}{{ form }}", form=form))
    assert '<a href="#id_wide">Width: Give a whole number, for example 12.</a>' in page
    assert page.count("Give a whole number, for example 12.") == 2
    assert '<a href="#id_grade">Grade: Choose one.</a>' in page
    assert 'id="id_grade"' in page
    assert "<li>These two do not go together.</li>" in page
    assert "3 things to put right" in page
    assert 'value="broad"' in page


def test_title_begins_with_error_only_when_refused() -> None:
    assert render("{% error_prefix %}", form=PairForm({"wide": "1"})) == "Error: "
    assert render("{% error_prefix %}", form=PairForm()) == ""
    assert render("{% error_prefix %}") == ""


def test_a_set_of_forms_lists_every_row() -> None:
    rows = formset_factory(PairForm)
    data = {"form-TOTAL_FORMS": "2", "form-INITIAL_FORMS": "0", "form-0-wide": "x", "form-1-wide": "y"}
    anchors = [fault.anchor for fault in errors_of(rows(data))]
    assert "id_form-0-wide" in anchors
    assert "id_form-1-wide" in anchors


def test_numbers_are_text_boxes_that_keep_what_was_typed() -> None:
    page = str(PairForm())
    assert 'inputmode="numeric"' in page
    assert 'type="number"' not in page


def test_hostile_text_comes_back_as_text() -> None:
    page = render("{% error_summary form %}{{ form }}", form=PairForm({"wide": '"><script>alert(1)</script>'}))
    assert "<script>" not in page


class BoltForm(Form):
    note = forms.CharField(max_length=5)
    grades = forms.MultipleChoiceField(choices=[("8.8", "8.8")])


def test_a_fault_is_said_in_words_of_the_shop() -> None:
    form = BoltForm({"note": "far too long", "grades": ["12.9"]})
    assert [error.words for error in errors_of(form)] == [
        "At most 5 characters; this has 12.",
        "This is not in the list any more. Choose again.",
    ]

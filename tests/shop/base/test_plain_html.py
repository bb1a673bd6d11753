"""A choice, a box and a label look as the library's templates would make it, letter by letter but for empty lines."""

import pytest
from django import forms
from django.forms.renderers import TemplatesSetting
from django.utils.safestring import mark_safe

from shop.base.forms import Form, Renderer
from shop.base.plain_html import plain_html

CHOICES = [
    ("", "all"),
    ("a&b", "<Aldern> & Son"),
    (1234567, 1234567),
    ("Metals", [("steel", mark_safe("<i>steel</i>")), ("iron", 'grey "iron"')]),
    (None, "nothing"),
]


class ChoiceForm(Form):
    plain = forms.ChoiceField(choices=CHOICES, help_text="What it is <made> of", required=False)
    many = forms.MultipleChoiceField(choices=CHOICES, widget=forms.SelectMultiple({"class": 'a"b', "hidden": True}))
    off = forms.ChoiceField(choices=CHOICES, disabled=True, widget=forms.Select({"data-x": False, "size": 3}))


class BoxForm(Form):
    words = forms.CharField(label="What <was> said?", max_length=40, help_text="In <short>")
    on = forms.DateField(widget=forms.DateInput({"data-x": 'a"b'}), required=False)
    many = forms.IntegerField(label=mark_safe("How <b>many</b>"))
    mail = forms.EmailField(disabled=True, initial="a&b@c.example")
    sure = forms.BooleanField(required=False)
    kept = forms.CharField(widget=forms.HiddenInput, initial="<0>")
    secret = forms.CharField(widget=forms.PasswordInput({"autocomplete": False}))
    long = forms.CharField(widget=forms.Textarea, initial="<a>\nb")


class Unlike(forms.Select):
    option_template_name = "django/forms/widgets/radio_option.html"


def lines(html: str) -> list[str]:
    return [line.strip() for line in html.splitlines() if line.strip()]


@pytest.mark.parametrize("auto_id", ["id_%s", ""])
@pytest.mark.parametrize("kind", [ChoiceForm, BoxForm])
def test_a_field_is_made_as_the_templates_make_it(kind, auto_id):
    typed = {"words": '<"5">', "on": "2 Mar", "many": "7", "sure": "on", "secret": "x", "long": "<y>"}
    for sent in (None, {"plain": "a&b", "many": ["steel", "1234567"], "off": "iron"}, typed):
        form = kind(sent, auto_id=auto_id)
        for field in form:
            own = [field.as_widget(), field.label_tag(), field.legend_tag(attrs={"class": "a<b"})]
            form.renderer = TemplatesSetting()
            library = [field.as_widget(), field.label_tag(), field.legend_tag(attrs={"class": "a<b"})]
            assert list(map(lines, own)) == list(map(lines, library)), field.name
            form.renderer = Renderer()
    assert "selected" in str(ChoiceForm({"plain": "a&b"})["plain"])


def test_what_has_a_template_of_its_own_keeps_it():
    context = Unlike(choices=CHOICES).get_context("of", None, {})
    assert plain_html("django/forms/widgets/select.html", context) is None
    assert plain_html("base/field.html", {}) is None

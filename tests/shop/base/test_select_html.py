"""A choice looks as the library's templates would make it, letter by letter but for empty lines."""

from django import forms
from django.forms.renderers import TemplatesSetting
from django.utils.safestring import mark_safe

from shop.base.forms import Form, Renderer
from shop.base.select_html import is_plain_select

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


class Unlike(forms.Select):
    option_template_name = "django/forms/widgets/radio_option.html"


def lines(html: str) -> list[str]:
    return [line.strip() for line in html.splitlines() if line.strip()]


def test_a_choice_is_made_as_the_templates_make_it():
    for sent in (None, {"plain": "a&b", "many": ["steel", "1234567"], "off": "iron"}):
        form = ChoiceForm(sent)
        for field in form:
            own = field.as_widget()
            form.renderer = TemplatesSetting()
            assert lines(own) == lines(field.as_widget()), field.name
            form.renderer = Renderer()
        assert "selected" in str(form["plain"])


def test_a_choice_with_options_of_its_own_keeps_its_template():
    context = Unlike(choices=CHOICES).get_context("of", None, {})
    assert not is_plain_select("django/forms/widgets/select.html", context)

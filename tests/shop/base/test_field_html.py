"""A field of a form stands as it always did: label, help, what is wrong, the box, what was read."""

from django import forms
from django.template import Context, Template

from shop.base.fields import UnitField
from shop.base.forms import Form
from tests.pseudo import in_pseudo

HOSTILE = '<b title="x">&'
# What a page's author would write, part by part.
BY_HAND = Template("""<div class="field{% if field.errors %} wrong{% endif %}">
{% if field.use_fieldset %}
<fieldset{% if field.aria_describedby %}
aria-describedby="{{ field.aria_describedby }}"{% endif %}>
{{ field.legend_tag }}{% else %}{{ field.label_tag }}{% endif %}
{% if field.help_text %}{% with said=field.label|add:field.help_text %}<p
class="hint{% if said|length < 46 %} brief{% endif %}"
id="{{ field.auto_id }}_helptext">{{ field.help_text }}</p>{% endwith %}{% endif %}
{% if field.errors %}
<p class="error" id="{{ field.auto_id }}_error">{% for error in field.errors %}<span>{{ error }}</span>{% endfor %}</p>
{% endif %}
{{ field }}{% if field.field.understood %}<p
class="understood">{% blocktrans trimmed with understood=field.field.understood %}
read as {{ understood }}
{% endblocktrans %}</p>{% endif %}
{% if field.use_fieldset %}</fieldset>{% endif %}
</div>""")


class Asks(Form):
    name = forms.CharField(label=HOSTILE, help_text=HOSTILE, max_length=5)
    plain = forms.CharField(required=False, initial=HOSTILE)
    long = forms.CharField(help_text="word " * 12, required=False)
    gap = UnitField(kind="length", help_text="of the face")
    several = forms.MultipleChoiceField(
        choices=[("a", "A"), ("b", HOSTILE)], widget=forms.CheckboxSelectMultiple, help_text="all that fit"
    )
    unsaid = forms.ChoiceField(choices=[("a", "A")], widget=forms.RadioSelect, required=False)
    count = forms.IntegerField(help_text="whole")
    when = forms.DateField(required=False)
    hidden = forms.CharField(widget=forms.HiddenInput, required=False)


def asked() -> list[Asks]:
    wrong = {"name": HOSTILE * 3, "gap_0": "1/2 in", "several": ["z"], "count": "many", "when": "never"}
    right = {"name": "x", "gap": "1/2 in", "gap_0": "1/2 in", "several": ["b"], "count": "3"}
    return [Asks(), Asks(wrong), Asks(right), Asks(right, prefix="p"), Asks(auto_id=False), Asks(right, system="inch")]


def test_every_field_stands_as_it_would_be_written_by_hand() -> None:
    shown = [(bound.as_field_group(), BY_HAND.render(Context({"field": bound}))) for form in asked() for bound in form]
    assert len(shown) == 6 * 9
    assert all(ours == by_hand for ours, by_hand in shown)
    assert any("read as" in ours for ours, _ in shown)
    assert any('class="error"' in ours and "&lt;b title" in ours for ours, _ in shown)


def test_it_is_said_in_the_language_of_its_reader() -> None:
    form = asked()[2]
    assert form.is_valid() or form.errors
    with in_pseudo():
        shown = [(bound.as_field_group(), BY_HAND.render(Context({"field": bound}))) for bound in form]
    assert all("read as" not in ours for ours, _ in shown)

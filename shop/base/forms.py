"""The forms of the shop: how they look, and how plain fields behave at the bench.

``{{ form }}`` in a template prints every field with its help and its error beside it; ``{% error_summary form %}``
prints the list of errors for the top of the page.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS
from django.forms import BaseForm
from django.forms.formsets import BaseFormSet
from django.forms.renderers import TemplatesSetting
from django.forms.utils import pretty_name
from django.urls import reverse
from django.utils.choices import BlankChoiceIterator
from django.utils.html import format_html
from django.utils.translation import gettext

from shop.base.field_groups import FieldGroup, ShownGroup, shown_groups
from shop.base.field_html import field_html
from shop.base.fields import UnitField
from shop.base.language import gettext_lazy
from shop.base.numbers import NUMBER_ERRORS
from shop.base.plain_html import plain_html
from shop.base.roles import Person
from shop.base.seen_by import hidden_names, seen_by
from specs.engine.units import System

PHONES = {"phone"}


class Renderer(TemplatesSetting):
    """How forms look: one look, no markup repeated. What there are dozens of on a page is no template."""

    form_template_name = "base/form.html"
    field_template_name = "field_html"

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> str:
        if template_name == self.field_template_name:
            return field_html(context["field"])
        made = plain_html(template_name, context)
        return super().render(template_name, context, request) if made is None else made


def plain_widget(name: str, field: forms.Field) -> None:
    """Give a field the box that keeps whatever is typed, and a phone the keys for it.

    Number boxes lose what they cannot read, "88,9" among it; a text box with the number keys keeps it. Where a unit or
    a fraction may be typed, all keys are there.
    """
    if type(field.widget) is forms.NumberInput:
        keys = "numeric" if type(field) is forms.IntegerField else "decimal"
        field.widget = forms.TextInput({**field.widget.attrs, "inputmode": keys, "class": "short"})
        field.widget.is_required = field.required
    elif isinstance(field, UnitField):
        field.widget.attrs["inputmode"] = "text"
    elif type(field) is forms.EmailField:
        field.widget.attrs["inputmode"] = "email"
    elif name in PHONES:
        field.widget.attrs["inputmode"] = "tel"
    if type(field.widget) is forms.DateInput:
        field.widget = forms.DateInput({**field.widget.attrs, "type": "date"}, format="%Y-%m-%d")
        field.widget.is_required = field.required


# What is said of a field that was left empty: the first kind that it is.
MISSING: tuple[tuple[type[forms.Field], str], ...] = (
    (forms.FileField, gettext_lazy("Choose a file.")),
    (forms.DateField, gettext_lazy("Give a day.")),
    (forms.DateTimeField, gettext_lazy("Give a day and a time.")),
    (forms.MultipleChoiceField, gettext_lazy("Tick at least one.")),
    (forms.ModelMultipleChoiceField, gettext_lazy("Tick at least one.")),
    (forms.ChoiceField, gettext_lazy("Choose one.")),
    (forms.BooleanField, gettext_lazy("Tick this.")),
    (forms.Field, gettext_lazy("Fill this in.")),
)


# What is said instead of the framework's own words, by the code of the fault: a list that is open in a browser may hold
# what was deleted since.
GONE = gettext_lazy("This is not in the list any more. Choose again.")
PLAIN_WORDS: tuple[tuple[type[forms.Field], str, str], ...] = (
    (forms.ChoiceField, "invalid_choice", GONE),
    (forms.MultipleChoiceField, "invalid_list", GONE),
    (forms.ModelChoiceField, "invalid_choice", GONE),
    (forms.ModelMultipleChoiceField, "invalid_choice", GONE),
    (forms.ModelMultipleChoiceField, "invalid_list", GONE),
    (forms.ModelMultipleChoiceField, "invalid_pk_value", GONE),
    (forms.IntegerField, "invalid", gettext_lazy("Give a whole number, for example 12.")),
)
TOO_LONG = gettext_lazy("At most %(limit_value)s characters; this has %(show_value)s.")


def say_what_to_do(field: forms.Field) -> None:
    """Let a field that was left empty, or filled with what it cannot hold, say what to do, unless it has own words."""
    field.error_messages.setdefault("max_length", TOO_LONG)
    for kind, code, words in PLAIN_WORDS:
        if isinstance(field, kind) and field.error_messages.get(code) == kind.default_error_messages[code]:
            field.error_messages[code] = words
    if type(field) is forms.EmailField:
        field.error_messages.setdefault("invalid", gettext("Type one address, such as sales@firm.example."))
    if field.error_messages["required"] == forms.Field.default_error_messages["required"]:
        field.error_messages["required"] = next(words for kind, words in MISSING if isinstance(field, kind))


DASHES = "---------"
"""What Django writes for "nothing chosen"."""


def name_the_empty_choice(field: forms.Field) -> None:
    """Say in words what a list of choices offers first, where it would show dashes."""
    empty = gettext("choose") if field.required else gettext("none")
    if isinstance(field, forms.ModelChoiceField):
        field.empty_label = empty if field.empty_label == DASHES else field.empty_label
    elif isinstance(field, forms.ChoiceField) and isinstance(field.choices, BlankChoiceIterator):
        field.choices = [(key, empty if words == DASHES else words) for key, words in field.choices]


class _ShopForm(forms.BaseForm):
    """Adds to a Django form: ``system`` ("metric" or "inch"), the reader's units for every unit field; and ``reader``,
    for whom the fields of money are left out that this person may not see."""

    # The browser's own bubbles vanish while one reads; the server answers every error, in place, in our words.
    use_required_attribute = False
    # Where to add what a field chooses from, as long as there is none: {"vehicle": "vehicles:vehicle-new"}.
    add_first: dict[str, str] = {}
    # A long form's fields under headings, and what is seldom filled in folded.
    groups: tuple[FieldGroup, ...] = ()

    def __init__(self, *args: Any, system: System = "metric", reader: Person | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})
        model = getattr(getattr(self, "_meta", None), "model", None)
        named = {name: seen_by(field, model, name) for name, field in self.fields.items()}
        for name in hidden_names(reader, named):
            del self.fields[name]
        for name, field in self.fields.items():
            field.label = gettext(str(field.label or pretty_name(name)))  # many are named after their field alone
            plain_widget(name, field)
            say_what_to_do(field)
            name_the_empty_choice(field)
            if isinstance(field, forms.IntegerField):  # and so every field of a number
                field.error_messages = {**NUMBER_ERRORS, **field.error_messages}
            if isinstance(field, UnitField):
                field.use_system(system)

    def shown_groups(self) -> Iterator[ShownGroup]:
        """The fields as the page shows them, group by group."""
        return shown_groups(self, self.groups)

    def lead_to_what_is_missing(self) -> None:
        """Beside a field with nothing to choose from, say so and lead to where it is added."""
        for name, url_name in self.add_first.items():
            field = self.fields.get(name)
            rows = getattr(field, "queryset", None)
            if field and rows is not None and not rows.exists():
                what = rows.model._meta.verbose_name
                field.help_text = format_html(
                    '{} <a href="{}">{}</a>: {}',
                    gettext("No {what} is on record yet.").format(what=what),
                    reverse(url_name),
                    gettext("Add the first {what}").format(what=what),
                    gettext("what you typed here is offered again after it."),
                )


class Form(_ShopForm, forms.Form):
    """A form without a record behind it."""


class ModelForm(_ShopForm, forms.ModelForm):
    """A form over one record."""


class ReasonForm(Form):
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=300, widget=forms.Textarea({"rows": 3}))


@dataclass(frozen=True)
class FormError:
    """One error in words, with id and label of the field that it stands beside ("" when it is about the whole form)."""

    words: str
    anchor: str
    label: str = ""


def errors_of(*sources: Any) -> list[FormError]:
    """Every error of the given forms and formsets, in the order of the page. Anything else is passed over."""
    return list(chain.from_iterable(_errors_of(source) for source in sources))


def _errors_of(source: Any) -> Iterator[FormError]:
    if isinstance(source, BaseFormSet) and source.is_bound:
        yield from _errors_at(source.non_form_errors(), "")
        for form in source.forms:
            yield from _errors_of(form)
    elif isinstance(source, BaseForm) and source.is_bound:
        yield from _errors_of_form(source)
    else:  # a conflict of two versions
        undecided = (difference for difference in getattr(source, "differences", ()) if difference.error)
        yield from (
            FormError(difference.error, f"differs-{difference.name}", difference.label) for difference in undecided
        )


def _errors_of_form(form: BaseForm) -> Iterator[FormError]:
    for name, errors in form.errors.items():
        hidden = name == NON_FIELD_ERRORS or form[name].is_hidden
        anchor = "" if hidden else form[name].auto_id
        yield from _errors_at(errors, anchor, str(form[name].label) if anchor else "")


def _errors_at(errors: Iterable[Any], anchor: str, label: str = "") -> Iterator[FormError]:
    return (FormError(str(words), anchor, label) for words in errors)

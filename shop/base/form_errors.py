"""What is wrong with a form, for the list at the top of the page."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS
from django.forms import BaseForm
from django.forms.formsets import BaseFormSet


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
        undecided = (difference for difference in getattr(source, "differences", ()) if difference.fault)
        yield from (
            FormError(difference.fault, f"differs-{difference.name}", difference.label) for difference in undecided
        )


def _errors_of_form(form: BaseForm) -> Iterator[FormError]:
    for name, errors in form.errors.items():
        hidden = name == NON_FIELD_ERRORS or form[name].is_hidden
        anchor = "" if hidden else form[name].auto_id
        yield from _errors_at(errors, anchor, str(form[name].label) if anchor else "")


def _errors_at(errors: Iterable[Any], anchor: str, label: str = "") -> Iterator[FormError]:
    return (FormError(str(words), anchor, label) for words in errors)

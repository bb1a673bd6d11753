"""What is wrong with a form, for the list at the top of the page."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS
from django.forms import BaseForm
from django.forms.formsets import BaseFormSet


@dataclass(frozen=True)
class Fault:
    """One error in words, with id and label of the field that it stands beside ("" when it is about the whole form)."""

    words: str
    anchor: str
    label: str = ""


def faults(*sources: Any) -> list[Fault]:
    """Every error of the given forms and formsets, in the order of the page. Anything else is passed over."""
    return list(chain.from_iterable(_faults_of(source) for source in sources))


def _faults_of(source: Any) -> Iterator[Fault]:
    if isinstance(source, BaseFormSet) and source.is_bound:
        yield from _faults_at(source.non_form_errors(), "")
        for form in source.forms:
            yield from _faults_of(form)
    elif isinstance(source, BaseForm) and source.is_bound:
        yield from _faults_of_form(source)
    else:  # a conflict of two versions
        undecided = (difference for difference in getattr(source, "differences", ()) if difference.fault)
        yield from (Fault(difference.fault, f"differs-{difference.name}", difference.label) for difference in undecided)


def _faults_of_form(form: BaseForm) -> Iterator[Fault]:
    for name, errors in form.errors.items():
        hidden = name == NON_FIELD_ERRORS or form[name].is_hidden
        anchor = "" if hidden else form[name].auto_id
        yield from _faults_at(errors, anchor, str(form[name].label) if anchor else "")


def _faults_at(errors: Iterable[Any], anchor: str, label: str = "") -> Iterator[Fault]:
    return (Fault(str(words), anchor, label) for words in errors)

"""Two people change the same record: the second is shown both versions and chooses, field by field.

A form over a ``Versioned`` record carries the version it was filled from. When the record has moved on (or the form
came without its version, which is refused just the same) nothing is written: the page shows, for every field that
differs, what the person wrote and what is on record now. A field that only one of the two changed comes with that
change chosen; where both changed it, nothing is chosen and the person must.
"""

from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.forms import BoundField
from django.http import QueryDict
from django.utils.translation import gettext

from shop.base.field_text import value_text
from shop.base.forms import ModelForm
from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from specs.models.base import Versioned

SAID = ("ptional", "mpty")
"""A hint with one of these says already what it means to leave its field empty."""
TYPED, STORED = "typed", "stored"
CHOOSE = gettext_lazy("Choose which of the two to keep.")


SAYS_ITSELF = (forms.ChoiceField, forms.ModelChoiceField, forms.BooleanField)
"""What shows by itself that it may stay as it is: "none" among its choices, or a box that is not ticked."""


class VersionedForm(ModelForm):
    """A model form that carries the version it was filled from; saving from an older one raises ``Stale``.

    A field that may be left empty says so, unless it is `asked_sometimes`: demanded by what another one holds.
    """

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    asked_sometimes: tuple[str, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["version"] = self.instance.version
        for name in set(self._meta.fields or ()) & self.fields.keys() - {*self.asked_sometimes}:
            _say_whether_optional(self.fields[name])

    def _post_clean(self) -> None:
        super()._post_clean()  # type: ignore[misc]
        if not self.instance._state.adding:
            # 0 is never stored: a form without a version can only come second.
            self.instance.version = self.cleaned_data.get("version") or 0


def _say_whether_optional(field: forms.Field) -> None:
    told = field.help_text  # whose letters are English, in whatever language it is shown
    if not field.required and not isinstance(field, SAYS_ITSELF) and not any(said in told for said in SAID):
        field.help_text = f"{gettext('Optional.')} {told}".strip()


@dataclass(frozen=True)
class FieldDifference:
    """A field that differs: both versions in words, and which one is chosen ("" until the person decides)."""

    name: str
    label: str
    typed_text: str
    stored_text: str
    chosen: str
    error: str


@dataclass
class Conflict:
    """A stale save: the person's form over today's record, what differs, and who saved in between and when."""

    form: VersionedForm
    differences: list[FieldDifference] = field(default_factory=list)
    saved_by: str = ""
    saved_at: Any = None
    settling: bool = False

    @property
    def settled(self) -> bool:
        """Whether every difference has been decided by the person who saw it."""
        return self.settling and all(difference.chosen for difference in self.differences)


def find_conflict(
    sent: QueryDict, record: Versioned, form_class: type[VersionedForm], options: dict[str, Any]
) -> Conflict | None:
    """The conflict that a sent form meets with the record as stored now; None when it was filled from that version."""
    stored = type(record)._default_manager.get(pk=record.pk)
    seen = _number(sent.get("version"))
    asked = set(sent.getlist("differs"))
    if seen == stored.version and not asked:
        return None
    data = sent.copy()
    data["version"] = str(stored.version)
    form = form_class(data, instance=stored, **options)
    conflict = Conflict(form, settling=seen == stored.version)
    before = None if conflict.settling else _as_seen(stored, seen, form_class, options)
    for name in form.changed_data:
        if not conflict.settling or name in asked:
            conflict.differences.append(_difference(form[name], sent, before, conflict.settling))
    _name_the_other(conflict, stored)
    _take_theirs(conflict)
    return conflict


def _number(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 10 else None


def _as_seen(
    record: Any, version: int | None, form_class: type[VersionedForm], options: dict[str, Any]
) -> VersionedForm | None:
    """The form as it was when the person opened it, from the record's history."""
    if version is None or not hasattr(record, "history"):
        return None
    kept = record.history.filter(version=version).first()
    return form_class(instance=kept.instance, **options) if kept else None


def _difference(bound: BoundField, sent: QueryDict, before: VersionedForm | None, settling: bool) -> FieldDifference:
    chosen = sent.get(f"keep-{bound.name}", "") if settling else _only_one_changed(bound, before)
    chosen = chosen if chosen in (TYPED, STORED) else ""
    return FieldDifference(
        name=bound.name,
        label=str(bound.label),
        typed_text=value_text(bound.field, bound.data, typed=True),
        stored_text=value_text(bound.field, bound.initial),
        chosen=chosen,
        error=CHOOSE if settling and not chosen else "",
    )


def _only_one_changed(bound: BoundField, before: VersionedForm | None) -> str:
    if before is None or bound.name not in before.fields:
        return ""
    was = before[bound.name].initial
    if not bound.field.has_changed(was, bound.data):
        return STORED
    return TYPED if was == bound.initial else ""


def _name_the_other(conflict: Conflict, record: Any) -> None:
    if not hasattr(record, "history"):
        return
    # By version, not by date: a clock that was set back would name whoever saved before.
    last = record.history.filter(version=record.version).select_related("history_user").last()
    if last is not None:
        person = last.history_user
        conflict.saved_by = person_name(person) if person else ""
        conflict.saved_at = last.history_date


def _take_theirs(conflict: Conflict) -> None:
    # A disabled field keeps the record's value whatever was sent: exactly "keep what is on record".
    if conflict.settled:
        for difference in conflict.differences:
            conflict.form.fields[difference.name].disabled = difference.chosen == STORED

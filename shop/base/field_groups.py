"""The fields of a long form in groups: each under its heading, what is seldom filled in folded, with its count."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Field
from django.forms import BaseForm, BoundField


@dataclass(frozen=True)
class FieldGroup:
    """Names of fields that are shown together under a heading; ``folded`` where they are seldom filled in."""

    heading: str
    names: tuple[str, ...]
    folded: bool = False


@dataclass(frozen=True)
class ShownGroup:
    """The fields of a group that the reader of a form may see; without a heading those that belong to no group."""

    heading: str
    fields: list[BoundField]
    folded: bool = False

    @property
    def is_open(self) -> bool:
        """Whether a fold begins open: nothing that is wrong or was filled in is hidden."""
        return any(field.errors or _is_filled_in(field) for field in self.fields)


def shown_groups(form: BaseForm, groups: tuple[FieldGroup, ...]) -> Iterator[ShownGroup]:
    """First the fields of no group, then group by group; a group of whose fields none is shown is left out."""
    visible = {field.name: field for field in form.visible_fields()}
    grouped = [name for group in groups for name in group.names]
    yield ShownGroup("", [field for name, field in visible.items() if name not in grouped])
    for group in groups:
        fields = [visible[name] for name in group.names if name in visible]
        if fields:
            yield ShownGroup(group.heading, fields, group.folded)


def _is_filled_in(field: BoundField) -> bool:
    value = field.value()
    return value not in (None, "", [], False) and _as_text(value) not in ("0", _as_text(_usual(field)))


def _usual(field: BoundField) -> Any:
    """What a new form would have in this field."""
    model = getattr(getattr(field.form, "_meta", None), "model", None)
    column = next((one for one in model._meta.get_fields() if one.name == field.name), None) if model else None
    if isinstance(column, Field) and column.has_default():
        return column.get_default()
    return field.field.initial() if callable(field.field.initial) else field.field.initial


def _as_text(value: Any) -> str:
    text = str(value)
    return text.rstrip("0").rstrip(".,") or "0" if "." in text or "," in text else text

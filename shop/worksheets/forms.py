"""The form of a worksheet: its title and component, and one field an input of its calculation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shop.base.field_groups import FieldGroup
from shop.base.forms import Form
from shop.base.language import gettext_lazy, word
from shop.base.versions import VersionedForm
from shop.calculate.forms import MOST_UNFOLDED, calculation_form
from shop.worksheets.bindings import Given
from shop.worksheets.entry_doubts import unit_doubts
from shop.worksheets.evaluation import solve_inputs
from shop.worksheets.fields import CellField, ChoiceInputField, RowsField
from shop.worksheets.models import Worksheet, WorksheetInput
from shop.worksheets.offered import names_html
from shop.worksheets.rows_input import columns_of
from shop.worksheets.sources import Sources
from specs.engine.calculation import Calculation, calculations, find
from specs.engine.fields import Field, field_at, fields_of, flatten
from specs.engine.units import System
from specs.models import Component


class ChooseCalculationForm(Form):
    """Which calculation a new worksheet keeps."""

    calculation = forms.ChoiceField(label=gettext_lazy("Calculation"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        areas: dict[str, list[tuple[str, str]]] = {}
        for name, calculation in calculations().items():
            areas.setdefault(calculation.area, []).append((name, calculation.title))
        self.fields["calculation"].choices = sorted(areas.items())  # type: ignore[attr-defined]


class WorksheetForm(VersionedForm):
    """A worksheet with its inputs. `givens` are the inputs to keep, once the form is valid."""

    confirmed = forms.BooleanField(
        label=gettext_lazy("Yes, keep it as typed: I looked at the units again."),
        required=False,
        widget=forms.HiddenInput,
    )

    class Meta:
        model = Worksheet
        fields = ["title", "component", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 2})}
        help_texts = {
            "title": gettext_lazy("What it answers, of what: “Clutch of the blue wagon”."),
            "component": gettext_lazy("The component it belongs to, if it belongs to one."),
            "notes": gettext_lazy("Where typed figures come from: manual, catalogue, page."),
        }

    def __init__(
        self,
        *args: Any,
        calculation: str = "",
        carried: QueryDict | None = None,
        system: System = "metric",
        **kwargs: Any,
    ) -> None:
        """`carried`: the address of the calculation's own page, whose inputs a new worksheet begins with."""
        super().__init__(*args, system=system, **kwargs)
        if self.instance._state.adding:
            self.instance.calculation = calculation
        self.calculation = find(self.instance.calculation)
        self.fields["component"].queryset = Component.objects.all()  # type: ignore[attr-defined]
        self.sources = _sources(self.calculation, self.instance.component if self.instance.component_id else None)
        held: Sequence[WorksheetInput | Given] = (
            _carried_inputs(self.calculation, carried) if carried else _held_inputs(self.instance)
        )
        for name, declared in self.declared_inputs.items():
            self.fields[name_of(name)] = _field(declared, self.sources, system)
            self.initial[name_of(name)] = [_within(name, given) for given in held if _belongs(name, given)]
        self.groups = (*_groups(self.declared_inputs), FieldGroup("", ("confirmed",)))

    @property
    def declared_inputs(self) -> dict[str, Field]:
        return dict(fields_of(self.calculation.inputs)) if self.calculation else {}

    @property
    def suggestions(self) -> SafeString:
        """The dimensions to offer while typing, a list a kind of quantity."""
        return names_html(self.sources.kinds, self.sources.own)

    @property
    def givens(self) -> list[Given]:
        """Every input to keep, by its path."""
        return [
            Given(".".join(filter(None, [name, given.path])), given.typed, given.unit, given.dimension, given.pattern)
            for name in self.declared_inputs
            for given in self.cleaned_data.get(name_of(name)) or []
        ]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.calculation is None:
            self.add_error(
                None, gettext("There is no calculation “{calculation}”.").format(calculation=self.instance.calculation)
            )
        elif not self.errors:
            # A dimension that nobody measured yet may be named all the same: the worksheet says that it waits for it.
            for path, why in solve_inputs(self.calculation, self.givens).items():
                self.add_error(name_of(path.split(".")[0]), why)
            if not self.errors:
                self._ask_about_units(self.calculation)
        return cleaned

    def _ask_about_units(self, calculation: Calculation[Any, Any]) -> None:
        """Ask beside each bare number of the other system, and offer the tick that answers them all."""
        own = self.cleaned_data.get("component")
        asked = list(unit_doubts(calculation, self.givens, _held_inputs(self.instance), own))
        if not asked:
            return
        self.fields["confirmed"].widget = forms.CheckboxInput()
        if not self.cleaned_data.get("confirmed"):
            for path, question in asked:
                self.add_error(name_of(path.split(".")[0]), question)


def name_of(name: str) -> str:
    """The form's name of an input: apart from the worksheet's own fields, one of which a calculation might repeat."""
    return f"in-{name}"


def _groups(declared: Mapping[str, Field]) -> Iterator[FieldGroup]:
    """The inputs under their headings, as on the calculation's own page: what may be left out is folded."""
    folds = len(declared) > MOST_UNFOLDED
    headings = dict.fromkeys(field.group for field in declared.values())
    for heading in headings:
        own = {name_of(name): field for name, field in declared.items() if field.group == heading}
        open_names = tuple(name for name, field in own.items() if field.required or not folds)
        words = word(heading) if heading else gettext("Inputs")
        if open_names:
            yield FieldGroup(words, open_names)
        optional = gettext("{heading}, optional").format(heading=words)
        yield FieldGroup(optional, tuple(name for name in own if name not in open_names), folded=True)


def _sources(calculation: Calculation[Any, Any] | None, own: Component | None) -> Sources:
    declared = list(fields_of(calculation.inputs).values()) if calculation else []
    cells = [cell for field in declared for cell in columns_of(field).values()]
    kinds = frozenset(cell.kind.name for cell in cells if cell.kind)
    return Sources(kinds, own)


def _field(declared: Field, sources: Sources, system: System) -> forms.Field:
    if declared.form in ("quantities", "names", "records"):
        return RowsField(declared, sources, system)
    return ChoiceInputField(declared, system) if declared.options else CellField(declared, sources, system)


def _held_inputs(worksheet: Worksheet) -> list[WorksheetInput]:
    if worksheet.pk is None:
        return []
    as_it_was = getattr(worksheet, "_history", None)
    if as_it_was is None:
        return list(worksheet.inputs.select_related("dimension__component", "pattern__component"))
    # Inputs are written just after their worksheet: what belonged to a version is what stood when the next one began.
    later = worksheet.history.filter(history_id__gt=as_it_was.history_id).last()
    rows = WorksheetInput.history.as_of(later.history_date) if later else WorksheetInput.objects.all()
    return [held for held in rows if held.worksheet_id == worksheet.pk]


def _carried_inputs(calculation: Calculation[Any, Any] | None, address: QueryDict) -> list[Given]:
    if calculation is None:
        return []
    form = calculation_form(calculation, address)
    kinds = {path: declared.kind for path in flatten(form.request) if (declared := field_at(calculation.inputs, path))}
    return [
        Given(path, typed, form.bare_units[kind.name] if (kind := kinds.get(path)) else "")
        for path, typed in flatten(form.request).items()
    ]


def _belongs(name: str, held: WorksheetInput | Given) -> bool:
    return held.path.split(".")[0] == name


def _within(name: str, held: WorksheetInput | Given) -> Given:
    path = held.path[len(name) + 1 :]
    return Given(path, held.typed, held.unit, held.dimension, held.pattern)

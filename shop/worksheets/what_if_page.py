"""The what-if page: its form, the trial's results beside the accepted ones, its sweep as a chart."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext

from shop.base.forms import Form
from shop.base.language import capfirst, gettext_lazy, word
from shop.base.rows import Row
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.lines import OutputLine, output_lines
from shop.worksheets.rules import IN_DOUBT
from shop.worksheets.text import plain_words
from shop.worksheets.what_if import (
    Sweep,
    chart,
    sweep,
    try_value,
    variable_paths,
)
from specs.drawings import svg
from specs.engine import parsing, units
from specs.engine.answer import plain_outputs
from specs.engine.bands import Banded, holding
from specs.engine.calculation import BadInput, Calculation
from specs.engine.fields import field_at, fields_of, label_at, value_at
from specs.engine.units import System

_MARKS = {"holds": "done", "fails": "fails", "not known": "waiting"}


class WhatIfForm(Form):
    """Which input to change, to what; and, for a sweep, over which range and which result to plot."""

    path = forms.ChoiceField(label=gettext_lazy("Change this input"))
    value = forms.CharField(
        label=gettext_lazy("New value"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("With its unit, or in your units."),
    )
    low = forms.CharField(label=gettext_lazy("Or a range, from"), max_length=60, required=False)
    high = forms.CharField(label=gettext_lazy("Range, to"), max_length=60, required=False)
    output = forms.ChoiceField(label=gettext_lazy("Result to plot over the range"), required=False)

    def __init__(self, *args: Any, state: EvaluatedWorksheet, system: System, **kwargs: Any) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.state, self.system = state, system
        calculation = state.calculation
        assert calculation is not None
        self.fields["path"].choices = [  # type: ignore[attr-defined]
            (path, label_at(calculation.inputs, path)) for path in variable_paths(calculation, state.given)
        ]
        self.fields["output"].choices = [  # type: ignore[attr-defined]
            (name, field.label)
            for name, field in fields_of(calculation.outputs).items()
            if field.form == "quantity" and getattr(state.found, name) is not None
        ]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        for name in ("value", "low", "high"):
            cleaned[f"{name}_si"] = self._quantity(name, cleaned)
        low, high = cleaned["low_si"], cleaned["high_si"]
        if (low is None) != (high is None):
            missing = "low" if low is None else "high"
            if missing not in self.errors:
                self.add_error(missing, gettext("A range needs both ends."))
        elif low is not None and low >= high:
            self.add_error("high", gettext("A range runs upwards: this end must be larger than the other."))
        return cleaned

    def _quantity(self, name: str, cleaned: dict[str, Any]) -> float | None:
        text, path = cleaned.get(name, ""), cleaned.get("path")
        if not text or not path or self.state.calculation is None:
            return None
        field = field_at(self.state.calculation.inputs, path)
        assert field is not None
        assert field.kind is not None
        try:
            return parsing.read(text, field.kind, field.kind.unit_for(self.system)).value
        except parsing.NotUnderstood as wrong:
            self.add_error(name, str(wrong))
            return None


@dataclass(frozen=True)
class WhatIfLine:
    """One result: as accepted, as it is today, and as it would be."""

    label: str
    accepted: str
    now: str
    then: str
    differs: bool


class WhatIfPage:
    """What somebody tries on a worksheet; `form` is None where it cannot be worked out at all."""

    def __init__(self, state: EvaluatedWorksheet, sent: QueryDict, system: System) -> None:
        self.state, self.system = state, system
        self.form: WhatIfForm | None = None
        if state.banded is not None:
            asked = "path" in sent
            self.form = WhatIfForm(sent if asked else None, state=state, system=system)

    @property
    def calculation(self) -> Calculation[Any, Any]:
        assert self.state.calculation is not None
        return self.state.calculation

    def _asked(self, name: str) -> Any:
        return self.form.cleaned_data.get(name) if self.form and self.form.is_bound and self.form.is_valid() else None

    @cached_property
    def tried(self) -> Banded | None:
        """The answer with the changed input; None where none was asked for, or it is refused (told in the form)."""
        value = self._asked("value_si")
        if value is None or self.state.resolved is None:
            return None
        try:
            path = self._asked("path")
            return try_value(self.calculation, self.state.given, path, value, self.state.resolved.tolerances)
        except BadInput as bad:
            assert self.form is not None
            self.form.add_error("value", " ".join(bad.errors.values()))
            return None

    @property
    def change(self) -> str:
        """What was changed, in words: "Clamp force: 9 kN → 8 kN"."""
        path, value = self._asked("path"), self._asked("value_si")
        field = field_at(self.calculation.inputs, path) if path else None
        if field is None or field.kind is None or value is None:
            return ""
        label = label_at(self.calculation.inputs, path)
        was, new = (
            units.show(one, field.kind, self.system, figures=7) for one in (value_at(self.state.given, path), value)
        )
        return f"{label}: {was} → {new}"

    @property
    def lines(self) -> list[WhatIfLine]:
        """Each result as accepted, as it is, and as it would be."""
        if self.tried is None or self.state.result is None:
            return []
        then = plain_outputs(self.calculation, self.tried.answer.found)
        return [self._line(name, then) for name in fields_of(self.calculation.outputs) if name in then]

    def _line(self, name: str, then: dict[str, Any]) -> WhatIfLine:
        assert self.state.result is not None
        field = fields_of(self.calculation.outputs)[name]
        band = self.state.banded.outputs.get(name) if self.state.banded else None
        accepted = self.state.accepted.outputs.get(name) if self.state.accepted else None
        words = [
            plain_words(field, value, self.system, band.half if band else 0.0)
            for value in (accepted, self.state.result.outputs.get(name), then[name])
        ]
        return WhatIfLine(field.label, "" if accepted is None else words[0], words[1], words[2], words[1] != words[2])

    @property
    def checks(self) -> list[tuple[str, str, str]]:
        """Each check: its name, its verdict today, its verdict then."""
        if self.tried is None or self.state.banded is None:
            return []
        now, then = self._verdicts(self.state.banded, ""), self._verdicts(self.tried, self._asked("path"))
        return [
            (name, now.get(name, gettext("not there")), then.get(name, gettext("not there")))
            for name in dict.fromkeys([*now, *then])
        ]

    def _verdicts(self, banded: Banded, changed: str) -> dict[str, str]:
        """Each check's verdict; nothing plainly holds while a reading that goes in unchanged is in doubt."""
        origins = self.state.resolved.origins if self.state.resolved else ()
        doubted = any(origin.doubts for origin in origins if origin.path != changed)
        said = {check.name: holding(check, banded) for check in banded.answer.checks}
        return {name: IN_DOUBT if doubted and verdict == "holds" else verdict for name, verdict in said.items()}

    @property
    def check_rows(self) -> list[Row]:
        """Each check as a row: its verdict with the change, and what it is now where that differs."""
        return [
            Row(
                _MARKS.get(then, "check"),
                capfirst(name),
                figure=word(then),
                under="" if then == now else gettext("now: {now}").format(now=word(now)),
                red=then == "fails",
                said=word(then),
            )
            for name, now, then in self.checks
        ]

    @property
    def results_now(self) -> list[OutputLine]:
        """Today's results, to look at before anything is changed."""
        return output_lines(self.state, self.system)

    @cached_property
    def swept(self) -> Sweep | None:
        """The sweep that was asked for."""
        low, high = self._asked("low_si"), self._asked("high_si")
        if low is None or high is None:
            return None
        output = self._asked("output") or next(iter(dict(self.form.fields["output"].choices)))  # type: ignore[union-attr]
        return sweep(self.calculation, self.state.given, self._asked("path"), output, low, high)

    @property
    def svg(self) -> str:
        """The sweep's chart; empty where there is nothing to draw."""
        if self.swept is None:
            return ""
        now = value_at(self.state.given, self.swept.path), getattr(self.state.found, self.swept.output)
        drawing = chart(self.calculation, self.swept, now, self.system)
        return svg.write(drawing, "sweep") if drawing else ""

"""The form of a torque spec: the fastener, the maker's figure, the stages."""

from __future__ import annotations

import re
from math import isclose
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import UnitField
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.measuring.forms.components import NOTES
from shop.measuring.text import with_unit
from shop.torque.rules import calculate
from specs.engine import parsing, units
from specs.engine.calculation import BadInput
from specs.models import Component, TorqueSpec
from specs.standards import threads

_AT_FIELD = {"thread": "thread", "grade": "grade", "bearing_diameter": "bearing", "head": "head"}
_MOST_STAGES = 10
# 35 lbf·ft and 47.5 N·m are one figure.
SAME_FIGURE = 0.005


class TorqueSpecForm(VersionedForm):
    """How a set of like fasteners in one place is tightened."""

    asked_sometimes = ("bearing", "published_source")

    bearing = UnitField(
        kind="length",
        label=gettext_lazy("Mean diameter under the head"),
        required=False,
        help_text=gettext_lazy("Only for inch threads, which have no head table here."),
    )
    published = UnitField(
        kind="torque",
        label=gettext_lazy("Published torque"),
        required=False,
        help_text=gettext_lazy("Optional: without one the torque is calculated."),
    )
    stages_typed = forms.CharField(
        label=gettext_lazy("Stages"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy(
            "In order, on one line or several: 40 N·m, then 80, then 90°. Optional: in one go without."
        ),
    )

    class Meta:
        model = TorqueSpec
        fields = [
            "place",
            "count",
            "thread",
            "grade",
            "head",
            "condition",
            "published_source",
            "single_use",
            "tightening_order",
            "notes",
        ]
        labels = {"tightening_order": gettext_lazy("Tightening sequence")}
        widgets = {"notes": NOTES}

    field_order = [
        "place",
        "count",
        "thread",
        "grade",
        "head",
        "bearing",
        "condition",
        "published",
        "published_source",
        "stages_typed",
        "single_use",
        "tightening_order",
        "notes",
    ]

    def __init__(
        self, *args: Any, component: Component | None = None, system: units.System = "metric", **kwargs: Any
    ) -> None:
        spec: TorqueSpec | None = kwargs.get("instance")
        if spec is not None:
            kept = {
                "bearing": _kept(spec.bearing_diameter, spec.bearing_diameter_typed, "mm"),
                "published": _kept(spec.published_torque, spec.published_typed, "N*m"),
                "stages_typed": "\n".join(stage["typed"] for stage in spec.stages),
            }
            kwargs["initial"] = {**kept, **(kwargs.get("initial") or {})}
        super().__init__(*args, system=system, **kwargs)
        self.unit_system = system
        if component is not None:
            self.instance.component = component

    def clean_stages_typed(self) -> str:
        lines = stage_texts(self.cleaned_data["stages_typed"])
        if len(lines) > _MOST_STAGES:
            raise forms.ValidationError(
                gettext("{lines} stages; at most {MOST_STAGES} are kept.").format(
                    lines=len(lines), MOST_STAGES=_MOST_STAGES
                )
            )
        self.instance.stages = [self._stage(at, line) for at, line in enumerate(lines, start=1)]
        return "\n".join(stage["typed"] for stage in self.instance.stages)

    def _stage(self, at: int, line: str) -> dict[str, Any]:
        is_angle = "°" in line or line.endswith("deg")
        kind = units.ANGLE if is_angle else units.TORQUE
        try:
            reading = parsing.read(line, kind, kind.unit_for(self.unit_system))
        except parsing.NotUnderstood as wrong:
            raise forms.ValidationError(gettext("Stage {at}: {wrong}").format(at=at, wrong=wrong)) from None
        if reading.value <= 0:
            raise forms.ValidationError(gettext("Stage {at}: a stage is more than 0.").format(at=at))
        return {"kind": "angle" if is_angle else "torque", "typed": with_unit(reading), "value": reading.value}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self._take("published", "published_torque", "published_typed")
        self._take("bearing", "bearing_diameter", "bearing_diameter_typed")
        if cleaned.get("published") and not cleaned.get("published_source"):
            self.add_error("published_source", gettext("Say where the published torque stands: manual, edition, page."))
        if not {"published", "stages_typed"} & set(self.errors) and (wrong := self._stages_wrong()):
            self.add_error("stages_typed", wrong)
        return cleaned

    def _stages_wrong(self) -> str:
        """What keeps the stages from leading to the figure, in words."""
        torques = [stage for stage in self.instance.stages if stage["kind"] == "torque"]
        figure = self.instance.published_torque
        if not self.instance.stages:
            return ""
        if figure is None:
            return gettext("No stages without a figure: give the published torque and its source first.")
        if not torques or not isclose(torques[-1]["value"], figure, rel_tol=SAME_FIGURE):
            ends = torques[-1]["typed"] if torques else gettext("an angle")
            return gettext("The stages end at {ends}, but the published torque is {published_typed}.").format(
                ends=ends, published_typed=self.instance.published_typed
            )
        return ""

    def clean_thread(self) -> str:
        """Keep a thread that the tables know in one spelling, so that equal threads are equal everywhere."""
        typed = str(self.cleaned_data["thread"]).strip()
        try:
            return threads.find(typed).designation
        except threads.UnknownThread:
            return typed

    def _take(self, field: str, value: str, typed: str) -> None:
        reading: parsing.TypedQuantity | None = self.cleaned_data.get(field)
        if reading is not None and reading.value <= 0:
            self.add_error(field, gettext("This must be more than 0."))
        setattr(self.instance, value, reading.value if reading else None)
        setattr(self.instance, typed, with_unit(reading) if reading else "")

    def _post_clean(self) -> None:
        super()._post_clean()
        if not self.errors:
            self._try_calculation()

    def _try_calculation(self) -> None:
        """Without a published figure the torque is calculated, so the fastener must be one that can be."""
        if self.instance.published_torque is not None:
            return
        try:
            calculate(self.instance)
        except BadInput as bad:
            for name, why in bad.errors.items():
                self.add_error(_AT_FIELD.get(name), why)


_NEXT_STAGE = re.compile(r"\n|;|,?\s*\bthen\b|,\s+|\+(?=\s*[0-9])")


def stage_texts(typed: str) -> list[str]:
    """Split stages that were typed on one line or several: "40 N·m, then 80, then 90°" are three.

    A comma ends a stage only with a blank behind it, so that 12,5 stays one number.
    """
    return [stage.strip() for stage in _NEXT_STAGE.split(typed) if stage.strip()]


def _kept(value: float | None, typed: str, unit: str) -> parsing.TypedQuantity | None:
    return None if value is None else parsing.TypedQuantity(value, unit, typed)

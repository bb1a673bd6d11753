"""Forms of components, specimens and dimensions."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_noop

from shop.base.language import gettext_lazy, offered
from shop.base.versions import VersionedForm
from shop.measuring.text import with_unit
from specs.engine import parsing, units
from specs.models import Component, Dimension, Specimen

NOTES = forms.Textarea(attrs={"rows": 3})
MEASURED_KINDS = (
    gettext_noop("length"),
    gettext_noop("angle"),
    gettext_noop("mass"),
    gettext_noop("force"),
    gettext_noop("torque"),
    gettext_noop("stress"),
    gettext_noop("volume"),
    gettext_noop("area"),
    gettext_noop("inertia"),
    gettext_noop("speed"),
    gettext_noop("ratio"),
)


class ComponentForm(VersionedForm):
    """A kind of part that the shop knows."""

    class Meta:
        model = Component
        fields = ["kind", "maker", "name", "notes"]
        widgets = {"notes": NOTES}


class SpecimenForm(VersionedForm):
    """A physical piece of a component."""

    class Meta:
        model = Specimen
        fields = ["mark", "notes"]
        widgets = {"notes": NOTES}
        help_texts = {"mark": gettext_lazy("A serial number, or what is painted or punched on it.")}

    def __init__(self, *args: Any, component: Component | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if component is not None:
            self.instance.component = component

    def _get_validation_exclusions(self) -> set[str]:
        # The component stands in the address, not in the form, and the mark is unique within it.
        return super()._get_validation_exclusions() - {"component"}  # type: ignore[misc]


class DimensionForm(VersionedForm):
    """A named quantity of a component; its limits are typed with a unit, or in the usual one of the kind."""

    asked_sometimes = ("datum",)  # without one a length means nothing

    kind = forms.ChoiceField(
        label=gettext_lazy("Kind of quantity"),
        choices=offered(MEASURED_KINDS),
        initial="length",
        help_text=gettext_lazy(
            "Limits typed without a unit are in the usual one of the kind: mm for a length, N·m for a torque."
        ),
    )
    lower_limit_typed = forms.CharField(
        label=gettext_lazy("Lower limit"), required=False, help_text=gettext_lazy("Optional.")
    )
    upper_limit_typed = forms.CharField(
        label=gettext_lazy("Upper limit"), required=False, help_text=gettext_lazy("Optional.")
    )

    class Meta:
        model = Dimension
        fields = ["name", "kind", "datum", "lower_limit_typed", "upper_limit_typed", "notes"]
        widgets = {"notes": NOTES}

    field_order = ["name", "kind", "datum", "lower_limit_typed", "upper_limit_typed", "notes"]

    def __init__(
        self, *args: Any, component: Component | None = None, system: units.System = "metric", **kwargs: Any
    ) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.unit_system = system
        if component is not None:
            self.instance.component = component

    def _get_validation_exclusions(self) -> set[str]:
        return super()._get_validation_exclusions() - {"component"}  # type: ignore[misc]

    def clean_kind(self) -> str:
        kind = self.cleaned_data["kind"]
        if self.instance.pk and kind != self.instance.kind and self.instance.measurements.exists():
            raise forms.ValidationError(
                gettext("There are readings of this dimension as a {kind}; add another dimension instead.").format(
                    kind=self.instance.kind
                )
            )
        return kind

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        kind = units.KINDS.get(cleaned.get("kind", ""))
        for name in ("lower_limit", "upper_limit"):
            typed = cleaned.get(f"{name}_typed", "")
            if kind is not None:
                self._read_limit(name, typed, kind)
        lower, upper = self.instance.lower_limit, self.instance.upper_limit
        if lower is not None and upper is not None and lower > upper:
            self.add_error("upper_limit_typed", gettext("The upper limit is below the lower one."))
        return cleaned

    def _read_limit(self, name: str, typed: str, kind: units.Kind) -> None:
        setattr(self.instance, name, None)
        if not typed.strip():
            return
        try:
            reading = parsing.read(typed, kind, kind.unit_for(self.unit_system))
        except parsing.NotUnderstood as wrong:
            self.add_error(f"{name}_typed", str(wrong))
            return
        setattr(self.instance, name, reading.value)
        self.cleaned_data[f"{name}_typed"] = with_unit(reading)

"""The form of a mating feature: what it is, and which dimensions are its sizes."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.measuring.forms.components import NOTES
from specs.models import Component, Dimension, FeatureSize, MatingFeature
from specs.phrase import joined
from specs.plate.mating import roles_of


class DimensionChoice(forms.ModelChoiceField):
    """A dimension of the one component, so that its name is enough."""

    def label_from_instance(self, obj: Any) -> str:
        return str(obj.name)


class MatingFeatureForm(VersionedForm):
    """A feature of a component; its sizes are dimensions of the component, so that each keeps its readings."""

    asked_sometimes = ("count", "pattern")

    class Meta:
        model = MatingFeature
        fields = ["kind", "form", "name", "count", "standard", "pattern", "notes"]
        widgets = {"notes": NOTES}
        help_texts = {"count": gettext_lazy("For a spline or a bolt circle."), "pattern": gettext_lazy("For a face.")}

    def __init__(self, *args: Any, component: Component, **kwargs: Any) -> None:
        dimensions = component.dimensions.filter(kind="length")
        kept = kwargs.get("instance")
        sizes = {_key(size.role): size.dimension_id for size in kept.sizes.all()} if kept else {}
        kwargs["initial"] = {**sizes, **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        self.fields.update({_key(role): _size_field(role, dimensions) for role in _ROLES})
        self.instance.component = component
        pattern = self.fields["pattern"]
        pattern.queryset = component.hole_patterns.active()  # type: ignore[attr-defined]
        pattern.empty_label = gettext("none")  # type: ignore[attr-defined]

    def _get_validation_exclusions(self) -> set[str]:
        return super()._get_validation_exclusions() - {"component"}  # type: ignore[misc]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        form, kind = cleaned.get("form"), cleaned.get("kind")
        faces = (MatingFeature.Kind.BOLT_CIRCLE, MatingFeature.Kind.FACE_PATTERN)
        if kind and form and (kind in faces) != (form == MatingFeature.Form.FACE):
            self.add_error("form", gettext("A bolt circle and a face meet face to face; all else is inner or outer."))
        return cleaned

    @property
    def sizes(self) -> dict[str, Dimension]:
        """The dimension chosen for each role."""
        chosen = {role: self.cleaned_data.get(_key(role)) for role in _ROLES}
        return {role: dimension for role, dimension in chosen.items() if dimension is not None}


_ROLES = tuple(FeatureSize.Role.values)
_HELP = {FeatureSize.Role.MODULE.value: [gettext_lazy("25.4 mm divided by the diametral pitch.")]}


def _key(role: str) -> str:
    return f"size_{role.replace(' ', '_')}"


def _size_field(role: str, dimensions: Any) -> forms.ModelChoiceField:
    used_by = ", ".join(str(label) for kind, label in MatingFeature.Kind.choices if role in roles_of(kind))
    return DimensionChoice(
        queryset=dimensions,
        required=False,
        empty_label=gettext("not measured"),
        label=str(FeatureSize.Role(role).label).capitalize(),
        help_text=joined(
            " ",
            [*_HELP.get(role, ()), *([gettext("Compared for: {used_by}.").format(used_by=used_by)] if used_by else [])],
        ),
    )

"""What the plate's pages ask: an angle to try, a joint's loads, a hole to leave out, how the plate is made."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import UnitField
from shop.base.forms import Form, ModelForm
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.plate.bolts import PlateJoint, Preload
from shop.plate.layout import PlateLayout
from shop.plate.models import OmittedHole, PlateMaking
from specs.engine.units import LENGTH, STRESS
from specs.phrase import phrase
from specs.plate.sides import Side, plate_name
from specs.standards import classes, materials


class ClockingForm(Form):
    """An angle to try, and the walls to keep."""

    rotation = UnitField(
        kind="angle",
        label=gettext_lazy("Gearbox turned by"),
        help_text=gettext_lazy("Counter-clockwise, seen from the gearbox side."),
    )
    ligament = UnitField(kind="length", label=gettext_lazy("Least wall between holes"))
    edge = UnitField(kind="length", label=gettext_lazy("Least wall to the edge"), required=False)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        for name in ("ligament", "edge"):
            if cleaned.get(name) and cleaned[name].value < 0:
                self.add_error(name, gettext("A wall is 0 or more."))
        return cleaned


TYPED = "typed"


class JointForm(Form):
    """Which joint, how tight its bolts are, and what it has to carry."""

    joint = forms.ChoiceField(choices=[(side, side) for side in Side], widget=forms.HiddenInput)
    preload_from = forms.ChoiceField(label=gettext_lazy("Preload of each bolt"))
    preload = UnitField(
        kind="force",
        label=gettext_lazy("Preload, typed"),
        required=False,
        help_text=gettext_lazy("The least that the tightening surely gives."),
    )
    torque = UnitField(
        kind="torque",
        label=gettext_lazy("Torque that the joint carries"),
        help_text=gettext_lazy("The engine's torque, times first gear where the gearbox hangs on this joint alone."),
    )
    mu = UnitField(
        kind="ratio",
        label=gettext_lazy("Friction between the faces"),
        help_text=gettext_lazy("0.15 dry and clean; half with oil or paint."),
    )
    dowel_strength = UnitField(
        kind="stress",
        label=gettext_lazy("Shear strength of the dowels"),
        help_text=gettext_lazy("400 MPa is on the safe side for hardened pins (common practice, no source)."),
    )
    dowel_length = UnitField(
        kind="length",
        label=gettext_lazy("Length of the dowels in the softer part"),
        required=False,
        help_text=gettext_lazy(
            "Without chamfers. With the pressure below it says whether the dowels press their holes wide."
        ),
    )
    dowel_bearing = UnitField(
        kind="stress",
        label=gettext_lazy("Pressure that the softer part stands"),
        required=False,
        help_text=gettext_lazy("At most its yield strength."),
    )
    without = forms.ChoiceField(
        label=gettext_lazy("Try without"), required=False, help_text=gettext_lazy("Besides those that are left out.")
    )

    def __init__(self, *args: Any, joint: PlateJoint, preloads: list[Preload], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.of_joint = joint
        self.preloads = {found.key: found for found in preloads}
        kept: Any = self.fields["preload_from"]
        kept.choices = [*((found.key, found.words) for found in preloads), (TYPED, gettext("as typed below"))]
        tried: Any = self.fields["without"]
        there = [bolt.name for bolt in joint.bolts if bolt.name not in joint.left_out]
        tried.choices = [("", gettext("no other")), *((name, name) for name in there)]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("preload_from") == TYPED and not cleaned.get("preload") and "preload" not in self.errors:
            self.add_error("preload", gettext("Give the preload, or choose a torque spec or worksheet above."))
        for name in ("preload", "torque", "mu", "dowel_strength", "dowel_length", "dowel_bearing"):
            if cleaned.get(name) and cleaned[name].value <= 0:
                self.add_error(name, gettext("This has to be more than 0."))
        return cleaned

    @property
    def force(self) -> float:
        """The preload to reckon with [N]."""
        chosen = self.preloads.get(self.cleaned_data["preload_from"])
        return chosen.least if chosen else self.cleaned_data["preload"].value

    @property
    def dowel_seat(self) -> dict[str, float]:
        """What is known of the dowels' seat, as the bolt group takes it: mm and MPa."""
        places = {"length": ("dowel_length", LENGTH), "bearing_strength": ("dowel_bearing", STRESS)}
        said = self.cleaned_data
        return {key: kind.from_si(said[name].value) for key, (name, kind) in places.items() if said.get(name)}

    @property
    def omit(self) -> tuple[str, ...]:
        tried = self.cleaned_data["without"]
        return (*self.of_joint.left_out, *([tried] if tried else []))


class LeaveOutForm(ModelForm):
    """Which hole, and why its bolt cannot be used."""

    place = forms.ChoiceField(
        label=gettext_lazy("Hole"), help_text=gettext_lazy("As the sheets call it: E of the engine, G of the gearbox.")
    )
    field_order = ["place", "kind", "reason"]

    class Meta:
        model = OmittedHole
        fields = ["kind", "reason"]

    def __init__(self, *args: Any, plate: PlateLayout, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.worksheet = plate.worksheet
        place: Any = self.fields["place"]
        place.choices = [("", phrase("choose")), *plate_places(plate)]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        self.instance.side, _, self.instance.hole = cleaned.get("place", "").partition(":")
        return cleaned


def plate_places(plate: PlateLayout) -> list[tuple[str, str]]:
    """The plate's holes that are machined, as choices."""
    return [(f"{side}:{hole.name}", plate_name(side, hole.name)) for side in Side for hole in plate.holes[side]]


def holes_with_heads(plate: PlateLayout) -> list[str]:
    """The plate's names of the holes whose bolts sink their heads into it as the plate's making says."""
    sides = [side for side in Side if plate.pattern(side)]
    return [plate_name(side, hole.name) for side in sides for hole in plate.holes[side] if hole.head_diameter]


_METRIC = [name for name in classes.grades() if any(row.grade == name and row.is_metric for row in classes.table())]


class MakingForm(VersionedForm):
    """What the plate is made of, how heads sit in it, how strong its bolts are."""

    alloy = forms.ChoiceField(
        label=gettext_lazy("Material"),
        choices=[
            (name, phrase("{name} ({kind})", name=name, kind=phrase(found.kind)))
            for name, found in materials.table().items()
        ],
    )
    other_head = forms.MultipleChoiceField(
        label=gettext_lazy("Holes with the other head"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Where the other side leaves no room for the head above."),
    )
    grade = forms.ChoiceField(label=gettext_lazy("Grade of the bolts"), choices=[(name, name) for name in _METRIC])
    floor_mm = UnitField(
        kind="length",
        label=gettext_lazy("Least metal under a sunk head"),
        help_text=gettext_lazy("5 mm is common practice, no source."),
    )
    field_order = ["alloy", "head", "other_head", "grade", "floor_mm"]

    class Meta:
        model = PlateMaking
        fields = ["alloy", "head", "other_head", "grade"]

    def __init__(self, *args: Any, plate: PlateLayout, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        named: Any = self.fields["other_head"]
        named.choices = [(hole, hole) for hole in holes_with_heads(plate)]
        self.initial["floor_mm"] = self.instance.floor / 1000

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        floor = cleaned.get("floor_mm")
        if floor and floor.value < 0:
            self.add_error("floor_mm", gettext("This is 0 or more."))
        elif floor:
            self.instance.floor = round(floor.value * 1000, 9)
        return cleaned

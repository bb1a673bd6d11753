"""The form that moves a pattern to another datum."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.reference.datum import Frame, above_flat, between_dowels, in_register
from shop.reference.forms.holes import length_in
from shop.ui.fields import UnitField
from shop.ui.forms import Form
from specs import units
from specs.models import Hole, HolePattern


class DatumForm(Form):
    """Where the new origin is, by a construction that anybody can repeat on the part."""

    DOWELS, FLAT, REGISTER = "dowels", "flat", "register"

    way = forms.ChoiceField(
        label="The new origin is",
        choices=[
            (DOWELS, "midway between two dowels or holes, x through them"),
            (FLAT, "a distance above the line through two holes (a flat), x along it"),
            (REGISTER, "in the middle of a register, by points on it"),
        ],
        widget=forms.RadioSelect,
    )
    first = forms.ChoiceField(label="First hole", required=False, help_text="For two dowels, or a flat.")
    second = forms.ChoiceField(label="Second hole", required=False)
    height = UnitField(
        kind="length", label="Distance above the line", required=False, help_text="For a flat. Below it: negative."
    )
    along = UnitField(
        kind="length",
        label="Distance along the line from the first hole",
        required=False,
        help_text="For a flat. Left empty: midway between the two.",
    )
    points = forms.CharField(
        label="Points on the register",
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="For a register: one point a line, x and y in the present datum, three or more.",
    )
    datum = forms.CharField(
        label="The new datum in words",
        max_length=300,
        help_text="Such as: crank axis; x along the dowels.",
    )

    def __init__(self, *args: Any, pattern: HolePattern, system: units.System = "metric", **kwargs: Any) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.unit = units.LENGTH.unit_for(system)
        self.holes = {hole.name: hole for hole in pattern.holes.all()}
        for name in ("first", "second"):
            self.fields[name].choices = [("", "choose"), *((hole, hole) for hole in self.holes)]  # type: ignore[attr-defined]
        self.frame: Frame | None = None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        way = cleaned.get("way")
        try:
            if way == self.REGISTER:
                self.frame = in_register(self._points())
            elif way and self._two_holes():
                self.frame = self._by_holes(way)
        except ValueError as wrong:
            self.add_error("points" if way == self.REGISTER else "second", str(wrong))
        return cleaned

    def _two_holes(self) -> bool:
        for name in ("first", "second"):
            if not self.cleaned_data.get(name) and name not in self.errors:
                self.add_error(name, "Choose a hole.")
        return not {"first", "second"} & set(self.errors)

    def _by_holes(self, way: str) -> Frame | None:
        names = (self.cleaned_data["first"], self.cleaned_data["second"])
        first, second = (_place(self.holes[name]) for name in names)
        if way == self.DOWELS:
            return between_dowels(first, second, names)
        if self.cleaned_data.get("height") is None:
            if "height" not in self.errors:
                self.add_error("height", "Say how far above the line the new origin is.")
            return None
        height = units.LENGTH.from_si(self.cleaned_data["height"].value)
        along = self.cleaned_data.get("along")
        halfway = ((second[0] - first[0]) ** 2 + (second[1] - first[1]) ** 2) ** 0.5 / 2
        return above_flat(first, second, height, units.LENGTH.from_si(along.value) if along else halfway, names)

    def _points(self) -> list[tuple[float, float]]:
        read = length_in(self.unit)
        lines = [line.split() for line in self.cleaned_data.get("points", "").splitlines() if line.strip()]
        for at, line in enumerate(lines, start=1):
            if len(line) != 2:
                raise ValueError(f"Point {at}: give x and y with a blank between, such as 120.5 -40.")
        return [(read(x), read(y)) for x, y in lines]


def _place(hole: Hole) -> tuple[float, float]:
    return hole.x, hole.y

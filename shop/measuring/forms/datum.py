"""The form that moves a pattern to another datum."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import UnitField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.measuring.forms.holes import length_in
from specs.engine import units
from specs.geometry.datums import Datum, from_dowels, from_flat, from_register
from specs.geometry.points import Point, distance
from specs.models import Hole, HolePattern
from specs.phrase import phrase


class DatumForm(Form):
    """Where the new origin is, by a construction that anybody can repeat on the part."""

    DOWELS, FLAT, REGISTER = "dowels", "flat", "register"

    way = forms.ChoiceField(
        label=gettext_lazy("The new origin is"),
        choices=[
            (DOWELS, gettext_lazy("midway between two dowels or holes, x through them")),
            (FLAT, gettext_lazy("a distance above the line through two holes (a flat), x along it")),
            (REGISTER, gettext_lazy("in the middle of a register, by points on it")),
        ],
        widget=forms.RadioSelect,
    )
    first = forms.ChoiceField(
        label=gettext_lazy("First hole"), required=False, help_text=gettext_lazy("For a register: what x points to.")
    )
    second = forms.ChoiceField(label=gettext_lazy("Second hole"), required=False)
    height = UnitField(
        kind="length",
        label=gettext_lazy("Distance above the line"),
        required=False,
        help_text=gettext_lazy("For a flat. Below it: negative."),
    )
    along = UnitField(
        kind="length",
        label=gettext_lazy("Distance along the line from the first hole"),
        required=False,
        help_text=gettext_lazy("For a flat. Optional: midway between the two where not given."),
    )
    points = forms.CharField(
        label=gettext_lazy("Points on the register"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy("For a register: one point a line, x and y in mm in the present datum, three or more."),
    )
    datum = forms.CharField(
        label=gettext_lazy("The new datum in words"),
        max_length=300,
        help_text=gettext_lazy("Such as: crank axis; x along the dowels."),
    )

    def __init__(self, *args: Any, pattern: HolePattern, system: units.System = "metric", **kwargs: Any) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.holes = {hole.name: hole for hole in pattern.holes.all()}
        for name in ("first", "second"):
            self.fields[name].choices = [("", phrase("choose")), *((hole, hole) for hole in self.holes)]  # type: ignore[attr-defined]
        self.found: Datum | None = None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        way = cleaned.get("way")
        needed = ("first",) if way == self.REGISTER else ("first", "second")
        if not way or not self._chosen(needed):
            return cleaned
        try:
            self.found = {self.DOWELS: self._dowels, self.FLAT: self._flat, self.REGISTER: self._register}[way]()
        except ValueError as wrong:
            self.add_error("points" if way == self.REGISTER else "second", str(wrong))
        return cleaned

    @property
    def located_by(self) -> list[Hole]:
        """The holes that the datum is constructed from."""
        names = ("first",) if self.cleaned_data["way"] == self.REGISTER else ("first", "second")
        return [self.holes[self.cleaned_data[name]] for name in names]

    def _chosen(self, names: tuple[str, ...]) -> bool:
        for name in names:
            if not self.cleaned_data.get(name) and name not in self.errors:
                self.add_error(name, gettext("Choose a hole."))
        return not set(names) & set(self.errors)

    def _place(self, field: str) -> Point:
        hole = self.holes[self.cleaned_data[field]]
        return hole.x, hole.y

    def _dowels(self) -> Datum:
        first, second = self.cleaned_data["first"], self.cleaned_data["second"]
        words = gettext("halfway between {first} and {second}, x from {first} to {second}").format(
            first=first, second=second
        )
        return replace(from_dowels(self._place("first"), self._place("second")), construction=words)

    def _flat(self) -> Datum | None:
        up = self.cleaned_data.get("height")
        if up is None:
            if "height" not in self.errors:
                self.add_error("height", gettext("Say how far above the line the new origin is."))
            return None
        first, second = self._place("first"), self._place("second")
        typed = self.cleaned_data.get("along")
        along = units.LENGTH.from_si(typed.value) if typed else distance(first, second) / 2
        height = units.LENGTH.from_si(up.value)
        one, other = self.cleaned_data["first"], self.cleaned_data["second"]
        words = gettext(
            "{height} mm above the line from {one} to {other}, {along} mm along it from {one}; x along it"
        ).format(height=f"{height:.3f}", one=one, other=other, along=f"{along:.3f}")
        return replace(from_flat(first, second, height, along), construction=words)

    def _register(self) -> Datum:
        points = self._points()
        words = gettext(
            "centre of the circle that fits {points} points of the register best, x towards {cleaned_data}"
        ).format(points=len(points), cleaned_data=self.cleaned_data["first"])
        return replace(from_register(points, self._place("first")), construction=words)

    def _points(self) -> list[Point]:
        read = length_in("mm")
        lines = [line.split() for line in self.cleaned_data.get("points", "").splitlines() if line.strip()]
        for at, line in enumerate(lines, start=1):
            if len(line) != 2:
                raise ValueError(
                    gettext("Point {at}: give x and y with a blank between, such as 120.5 -40.").format(at=at)
                )
        return [(read(x), read(y)) for x, y in lines]

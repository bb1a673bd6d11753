"""Forms of hole patterns: by table, from a file, and what both ask about the face."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS
from django.forms.utils import ErrorDict
from django.utils.translation import gettext

from shop.base.fields import DayField, UnitField
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.measuring.forms.grid import wants_rows
from shop.measuring.forms.holes import (
    HolesField,
    length_in,
    rows_of,
)
from specs.engine import parsing, units
from specs.geometry.outlines import crosses_itself, depth_inside
from specs.models import Component, HolePattern
from specs.plate.pattern_doubts import arc_doubts, origin_doubt, overlap_doubts, register_doubts, span_doubt

_MOST_CORNERS = 200
MOST_DOUBTS = 10


class FaceForm(VersionedForm):
    """What every hole pattern says of its face: which, from where measured, with what."""

    outline_typed = forms.CharField(
        label=gettext_lazy("Outline of the face"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy("One corner a line, x and y in mm, in order round the edge. Optional."),
    )

    class Meta:
        model = HolePattern
        fields = ["face", "datum", "seen_from", "specimen", "instrument", "measured_on", "notes"]
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}
        field_classes = {"measured_on": DayField}

    def __init__(
        self,
        *args: Any,
        component: Component,
        today: date,
        system: units.System = "metric",
        **kwargs: Any,
    ) -> None:
        self.today = today
        kept = kwargs.get("instance")
        start = {"outline_typed": _outline_words(kept)} if kept else {"measured_on": today}
        kwargs["initial"] = {**start, **(kwargs.get("initial") or {})}
        super().__init__(*args, system=system, **kwargs)
        self.instance.component = component
        specimens = self.fields["specimen"]
        specimens.queryset = component.specimens.all()  # type: ignore[attr-defined]
        specimens.empty_label = gettext("not said")  # type: ignore[attr-defined]

    def full_clean(self) -> None:
        """A press on "Add rows" asks for rows, not for a judgement on what is not finished."""
        if wants_rows(self):
            self._errors, self.cleaned_data = ErrorDict(), {}
            return
        super().full_clean()

    def is_valid(self) -> bool:
        return not wants_rows(self) and super().is_valid()

    def clean_measured_on(self) -> date:
        day: date = self.cleaned_data["measured_on"]
        if day > self.today:
            raise forms.ValidationError(gettext("This day is still to come. Give the day the face was measured."))
        return day

    def clean_outline_typed(self) -> str:
        lines = [line for line in self.cleaned_data["outline_typed"].splitlines() if line.strip()]
        if lines and not 3 <= len(lines) <= _MOST_CORNERS:
            raise forms.ValidationError(
                gettext("An outline has 3 to {MOST_CORNERS} corners; {lines} given.").format(
                    MOST_CORNERS=_MOST_CORNERS, lines=len(lines)
                )
            )
        corners = [_corner(at, line) for at, line in enumerate(lines, start=1)]
        if corners and crosses_itself([(x, y) for x, y in corners]):
            raise forms.ValidationError(
                gettext("The outline crosses itself: give its corners in order round the edge.")
            )
        self.instance.outline = corners
        return "\n".join(lines)

    def judge(self, holes: list[dict[str, Any]], set_aside: str, doubts: Sequence[str] = ()) -> None:
        """Put beside the holes' field what cannot be (a hole off the face), and ask about what can hardly be.

        doubts: what else to ask about, of the readings that the holes come of.
        """
        outline = [(x, y) for x, y in self.instance.outline] if "outline_typed" not in self.errors else []
        outside = [hole["name"] for hole in holes if outline and depth_inside(outline, (hole["x"], hole["y"])) < 0]
        if outside:
            self.add_error(
                set_aside, gettext("Outside the outline of the face: {outside}.").format(outside=", ".join(outside))
            )
        asked = [*doubts, *overlap_doubts(holes), *arc_doubts(holes), *span_doubts(self.instance, holes)]
        # The record has what was typed only after this: it takes the face and the datum from what was cleaned.
        face, datum = (str(self.cleaned_data.get(name, "")).strip() for name in ("face", "datum"))
        self._ask([*asked, *register_doubts(holes), *origin_doubts(self.instance, face, datum, holes)], set_aside)

    def _ask(self, doubts: list[str], set_aside: str) -> None:
        """Put questions beside the holes, and offer the tick that answers them."""
        if not doubts:
            return
        self.fields["confirmed"].widget = forms.CheckboxInput()
        if not self.cleaned_data.get("confirmed"):
            for doubt in doubts[:MOST_DOUBTS]:
                self.add_error(set_aside, doubt)


def _corner(at: int, line: str) -> list[float]:
    parts = line.replace(";", " ").split()
    if len(parts) != 2:
        raise forms.ValidationError(
            gettext("Corner {at}: give x and y with a blank between, such as 120.5 -40.").format(at=at)
        )
    read = length_in("mm")
    try:
        return [read(part) for part in parts]
    except parsing.NotUnderstood as wrong:
        raise forms.ValidationError(gettext("Corner {at}: {wrong}").format(at=at, wrong=wrong)) from None


def _outline_words(pattern: HolePattern) -> str:
    return "\n".join(f"{x:.10g} {y:.10g}" for x, y in pattern.outline)


class PreviewedForm(FaceForm):
    """A face whose holes are worked out of something first: one press shows what comes of it, another keeps it.

    `judged_first` names the fields that the first press judges; what is missing elsewhere is asked for when it is kept.
    """

    KEEP = "keep"
    judged_first: tuple[str, ...] = ()
    can_keep = False

    def full_clean(self) -> None:
        super().full_clean()
        if self.is_bound and self.KEEP not in self.data:
            known = {*self.judged_first, NON_FIELD_ERRORS}
            for name in [name for name in self.errors if name not in known]:
                del self.errors[name]

    def is_valid(self) -> bool:
        return super().is_valid() and self.KEEP in self.data

    def _ask(self, doubts: list[str], set_aside: str) -> None:
        # A question is answered by a tick and the same press; what was refused before it is not.
        self.can_keep = not any(name in self.errors for name in (*self.judged_first, NON_FIELD_ERRORS))
        super()._ask(doubts, set_aside)


class PatternForm(FaceForm):
    """A face and its holes by table. A pattern 25.4 times too large or small is asked about before it is kept."""

    holes = HolesField(label=gettext_lazy("Holes"))
    known_to = UnitField(
        kind="length",
        label=gettext_lazy("Places known to ±"),
        required=False,
        help_text=gettext_lazy(
            "How far any hole may be off its place. Optional; dowels are not reamed to places without it."
        ),
    )
    confirmed = forms.BooleanField(
        label=gettext_lazy("Yes, keep it as typed: I looked at the readings again."),
        required=False,
        widget=forms.HiddenInput,
    )

    def __init__(self, *args: Any, system: units.System = "metric", **kwargs: Any) -> None:
        kept = kwargs.get("instance")
        if kept is not None:
            known = {"holes": rows_of(kept.holes.all(), system), "known_to": _known_to(kept)}
            kwargs["initial"] = {**known, **(kwargs.get("initial") or {})}
        super().__init__(*args, system=system, **kwargs)
        self.fields["holes"].use_system(system)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        known = cleaned.get("known_to")
        if known and known.value <= 0:
            self.add_error("known_to", gettext("This must be more than 0."))
        elif known:
            for hole in cleaned.get("holes") or []:
                hole["uncertainty"] = units.LENGTH.from_si(known.value)
        if cleaned.get("holes"):
            self.judge(cleaned["holes"], "holes")
        return cleaned


def _known_to(pattern: HolePattern) -> float | None:
    """How well all places of a pattern are known [m], where one figure says it."""
    known = {hole.uncertainty for hole in pattern.holes.all()}
    only = next(iter(known)) if len(known) == 1 else None
    return units.LENGTH.to_si(only) if only else None


def span_doubts(pattern: HolePattern, holes: list[dict[str, Any]]) -> list[str]:
    """The question whether mm and inches were mixed up, where the component's other patterns raise it."""
    others = HolePattern.objects.active().filter(component=pattern.component).exclude(pk=pattern.pk)
    doubt = span_doubt(holes, [_places(other) for other in others.prefetch_related("holes")])
    return [doubt] if doubt else []


def origin_doubts(pattern: HolePattern, face: str, datum: str, holes: list[dict[str, Any]]) -> list[str]:
    """The question whether the origin is the same, where an earlier pattern of the face from that datum raises it."""
    before = HolePattern.objects.active().filter(component=pattern.component, face__iexact=face, datum__iexact=datum)
    last = before.exclude(pk=pattern.pk).prefetch_related("holes").first()
    kept = [] if last is None else list(last.holes.values("name", "x", "y", "kind"))
    return [doubt] if (doubt := origin_doubt(holes, kept)) else []


def _places(pattern: HolePattern) -> list[dict[str, float]]:
    return [{"x": hole.x, "y": hole.y} for hole in pattern.holes.all()]

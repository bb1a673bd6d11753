"""Forms about what is kept for the next job: routes and lessons."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.jobs.forms.steps import HoursField
from shop.jobs.models import Lesson, Route, RouteStep
from shop.jobs.regulated import SUBJECTS
from shop.people.roles import ROLES
from shop.ui.versioned import VersionedForm
from specs.models import Component


class RouteForm(VersionedForm):
    class Meta:
        model = Route
        fields = ["name", "purpose"]
        widgets = {"purpose": forms.Textarea({"rows": 3})}


class RouteStepForm(VersionedForm):
    role = forms.ChoiceField(choices=[(role, role) for role in ROLES], label="Whose trade")
    hours_estimated = HoursField(label="Hours estimated", min_value=0, max_value=1000)
    touches = forms.MultipleChoiceField(
        choices=list(SUBJECTS.items()),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="What it touches that needs a licensed eye",
    )
    after = forms.ModelMultipleChoiceField(
        RouteStep.objects.none(), required=False, widget=forms.CheckboxSelectMultiple, label="Needs these steps first"
    )

    class Meta:
        model = RouteStep
        fields = ["title", "text", "cautions", "hours_estimated", "role", "touches"]
        widgets = {"text": forms.Textarea({"rows": 8}), "cautions": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, route: Route, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        others = route.steps.standing()
        if self.instance.pk:
            others = others.exclude(pk=self.instance.pk)
            needed = self.instance.needs.filter(needs_step__isnull=False).values_list("needs_step", flat=True)
            self.initial["after"] = list(needed)
        self.fields["after"].queryset = others  # type: ignore[attr-defined]


class LessonForm(VersionedForm):
    components = forms.ModelMultipleChoiceField(
        Component.objects.all(),
        required=False,
        label="About which components",
        help_text="It is shown wherever they are.",
    )

    class Meta:
        model = Lesson
        fields = ["title", "text"]
        widgets = {"text": forms.Textarea({"rows": 5})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["components"] = list(self.instance.components.values_list("pk", flat=True))
        self.fields["components"].widget.attrs["size"] = 8

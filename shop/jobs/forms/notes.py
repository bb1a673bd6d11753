"""Forms about what is kept for the next job: job templates and lessons."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.field_groups import FieldGroup
from shop.base.fields import RecordsField
from shop.base.language import gettext_lazy, offered
from shop.base.roles import ROLES
from shop.base.versions import VersionedForm
from shop.base.written import count
from shop.jobs.forms.steps import HazardField, HoursField
from shop.jobs.models import JobTemplate, Lesson, TemplateStep
from shop.jobs.regulated import SUBJECTS
from specs.models import Component


class TemplateForm(VersionedForm):
    class Meta:
        model = JobTemplate
        fields = ["name", "purpose"]
        widgets = {"purpose": forms.Textarea({"rows": 3})}


class LinesField(forms.CharField):
    """One thing a line."""

    def __init__(self, *, longest: int, **kwargs: Any) -> None:
        self.longest = longest
        super().__init__(required=False, widget=forms.Textarea({"rows": 3}), **kwargs)

    def clean(self, value: Any) -> list[Any]:
        return [self.read(line.strip()) for line in super().clean(value).splitlines() if line.strip()]

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(self.say(one) for one in value) if isinstance(value, list) else value

    def has_changed(self, initial: Any, data: Any) -> bool:
        # A browser sends other line ends than are kept.
        return (initial or "").split("\n") != (data or "").splitlines() if data or initial else False

    def say(self, one: Any) -> str:
        """Write one line as it would be typed."""
        return str(one)

    def read(self, line: str) -> Any:
        """Read one line; refuse one that is too long for its column."""
        if len(line) > self.longest:
            raise forms.ValidationError(
                gettext("A line has at most {longest} characters; “{line}…” has {line_2}.").format(
                    longest=self.longest, line=line[:40], line_2=len(line)
                )
            )
        return line


class PartLinesField(LinesField):
    """Parts, one a line, the quantity first: "2 × dowel", "dowel"."""

    def read(self, line: str) -> tuple[Decimal, str]:
        counted = re.fullmatch(r"(\d{1,6}(?:[.,]\d{1,2})?)\s*[×x]\s*(.+)", line)
        quantity = Decimal(counted[1].replace(",", ".")) if counted else Decimal(1)
        if quantity <= 0:
            raise forms.ValidationError(gettext("“{line}”: the quantity must be more than none.").format(line=line))
        return quantity, super().read(counted[2] if counted else line)

    def say(self, one: Any) -> str:
        quantity, text = one
        return f"{count(quantity)} × {text}"


class CheckLinesField(LinesField):
    """Checks, one a line, what is specified after a colon: "flywheel run-out: 0.15 mm at most"."""

    def read(self, line: str) -> tuple[str, str]:
        what, _, specified = line.partition(": ")
        return super().read(what.strip()), specified.strip()

    def say(self, one: Any) -> str:
        return ": ".join(filter(None, one))


class TemplateStepForm(VersionedForm):
    groups = (
        FieldGroup(gettext_lazy("Who, how long, what happens"), ("hours_estimated", "role", "hazard", "reason")),
        FieldGroup(gettext_lazy("What it comes after, what needs approval"), ("after", "touches")),
        FieldGroup(gettext_lazy("Checks, decisions, parts"), ("checks", "questions", "parts")),
    )

    role = forms.ChoiceField(choices=offered(ROLES), label=gettext_lazy("Trade"))
    hours_estimated = HoursField(label=gettext_lazy("Hours estimated"), min_value=0, max_value=1000)
    touches = forms.MultipleChoiceField(
        choices=list(SUBJECTS.items()),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("What it touches that needs licensed approval"),
    )
    after = RecordsField(
        TemplateStep.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("Comes after these steps"),
    )

    hazard = HazardField()
    reason = forms.CharField(max_length=300, required=False, label=gettext_lazy("Why what guards it changes"))
    checks = CheckLinesField(
        longest=200,
        label=gettext_lazy("Checks to sign"),
        help_text=gettext_lazy("One a line, such as: flywheel run-out: 0.15 mm at most."),
    )
    questions = LinesField(
        longest=200, label=gettext_lazy("Decisions it waits for"), help_text=gettext_lazy("One question a line.")
    )
    parts = PartLinesField(
        longest=200,
        label=gettext_lazy("Usual parts"),
        help_text=gettext_lazy("One a line, such as: 2 × dowel, hardened."),
    )

    class Meta:
        model = TemplateStep
        fields = ["title", "text", "cautions", "hours_estimated", "role", "hazard", "touches"]
        widgets = {"text": forms.Textarea({"rows": 8}), "cautions": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, job_template: JobTemplate, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        others = job_template.steps.active()
        if self.instance.pk:
            others = others.exclude(pk=self.instance.pk)
            needed = self.instance.needs.filter(needs_step__isnull=False).values_list("needs_step", flat=True)
            self.initial["after"] = list(needed)
            questions = self.instance.needs.exclude(decision="").values_list("decision", flat=True)
            self.initial["questions"] = "\n".join(questions)
            self.initial["checks"] = "\n".join(str(check) for check in self.instance.checks.all())
            self.initial["parts"] = "\n".join(str(part) for part in self.instance.parts.all())
        else:
            self.initial["hazard"] = ""
            del self.fields["reason"]
        self.fields["after"].queryset = others  # type: ignore[attr-defined]


class LessonForm(VersionedForm):
    add_first = {"components": "measuring:component-new"}
    components = RecordsField(
        Component.objects.all(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("About which components"),
        help_text=gettext_lazy("It is shown wherever they are."),
    )

    class Meta:
        model = Lesson
        fields = ["title", "text"]
        widgets = {"text": forms.Textarea({"rows": 5})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["components"] = list(self.instance.components.values_list("pk", flat=True))
        self.lead_to_what_is_missing()

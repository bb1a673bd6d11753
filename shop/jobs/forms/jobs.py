"""Forms about a job as a whole."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext

from shop.base.fields import DayField, RecordsField
from shop.base.forms import Form
from shop.base.language import gettext_lazy, word
from shop.base.versions import VersionedForm
from shop.jobs.forms.steps import people
from shop.jobs.models import Decision, Job, JobTemplate, Outcome, SetAside, Step
from shop.jobs.regulated import SUBJECTS
from shop.jobs.specified_torque import figure_of
from shop.torque.text import torque_text
from shop.vehicles.models import Fitted, Vehicle
from shop.worksheets.models import AcceptedRecord, Worksheet
from specs.models import Specimen, TorqueSpec
from specs.phrase import phrase


class JobForm(VersionedForm):
    add_first = {"vehicle": "vehicles:vehicle-new"}

    class Meta:
        model = Job
        fields = ["vehicle", "title", "asked_for", "opened_on", "wanted_by"]
        widgets = {"asked_for": forms.Textarea({"rows": 5})}
        field_classes = {"opened_on": DayField, "wanted_by": DayField}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        vehicles = Vehicle.objects.active()
        if self.instance.vehicle_id:
            vehicles = vehicles | Vehicle.objects.filter(pk=self.instance.vehicle_id)
        self.fields["vehicle"].queryset = vehicles  # type: ignore[attr-defined]
        self.fields["opened_on"].label = gettext("Opened on")
        self.lead_to_what_is_missing()

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        opened, wanted = given.get("opened_on"), given.get("wanted_by")
        if opened and wanted and wanted < opened:
            self.add_error("wanted_by", gettext("That is before the job was opened."))
        return given


class ApplyTemplateForm(Form):
    template = forms.ModelChoiceField(JobTemplate.objects.active(), label=gettext_lazy("Job template"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not JobTemplate.objects.active().exists():
            words = gettext("No job template yet. Those that come with the shop are on this list:")
            link = format_html('<a href="{}">{}</a>', reverse("jobs:templates"), gettext("Job templates"))
            self.fields["template"].help_text = format_html("{} {}", words, link)


class SetAsideForm(VersionedForm):
    class Meta:
        model = SetAside
        fields = ["specimen", "meant_for", "lies_in"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        free = Specimen.objects.exclude(set_aside__in=SetAside.objects.active())
        free = free.exclude(fitted__in=Fitted.objects.in_now()).select_related("component")
        self.fields["specimen"].queryset = free.order_by(  # type: ignore[attr-defined]
            "component__kind", "component__maker", "mark"
        )


class FitSetAsideForm(Form):
    place = forms.CharField(max_length=60, label=gettext_lazy("Into which place"))
    since = DayField(label=gettext_lazy("Fitted on"))


class TorqueForm(Form):
    torque_spec = forms.ModelChoiceField(TorqueSpec.objects.none(), label=gettext_lazy("Torque spec"))
    step = forms.ModelChoiceField(Step.objects.none(), label=gettext_lazy("Tightened in which step"))

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        specs = TorqueSpec.objects.active().select_related("component")
        self.fields["torque_spec"].queryset = specs  # type: ignore[attr-defined]
        self.fields["step"].queryset = job.steps.active()  # type: ignore[attr-defined]


class RecordField(forms.ModelChoiceField):
    """An accepted worksheet record, by its worksheet and its torque."""

    def label_from_instance(self, obj: Any) -> str:
        given, torque = obj.inputs, torque_text(figure_of(obj))
        return f"{obj.worksheet}: {given.get('thread')} {given.get('grade')}, {word(given.get('head', ''))}, {torque}"


class TieTorqueForm(Form):
    worksheet = RecordField(AcceptedRecord.objects.none(), label=gettext_lazy("Accepted worksheet"))

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        records = AcceptedRecord.objects.filter(worksheet__jobs=job, calculation="fastener-torque")
        records = records.filter(worksheet__deleted_at=None).select_related("worksheet")
        self.fields["worksheet"].queryset = records  # type: ignore[attr-defined]


class AddWorksheetForm(Form):
    worksheet = forms.ModelChoiceField(Worksheet.objects.none(), label=gettext_lazy("Which worksheet"))

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        others = Worksheet.objects.active().exclude(jobs=job)
        self.fields["worksheet"].queryset = others  # type: ignore[attr-defined]
        self.fields["worksheet"].help_text = format_html(
            '{} <a href="{}">{}</a>',
            gettext("Not in the list?") if others.exists() else gettext("No worksheet is on record that is not here."),
            reverse("worksheets:worksheet-new"),
            gettext("Add a new worksheet, then come back here"),
        )


class DecidersField(RecordsField):
    """The people who decide a question, by name."""

    def __init__(self, queryset: Any, **kwargs: Any) -> None:
        super().__init__(queryset, widget=forms.CheckboxSelectMultiple, label=gettext("Who decides it"), **kwargs)

    def label_from_instance(self, obj: Any) -> str:
        return obj.get_full_name() or obj.get_username()


class QuestionForm(Form):
    question = forms.CharField(max_length=200, label=gettext_lazy("What must be decided"))
    put_to = DecidersField(
        User.objects.none(), required=False, help_text=gettext_lazy("None chosen: anybody who may decide.")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["put_to"].queryset = people()  # type: ignore[attr-defined]


class PutDecisionForm(Form):
    put_to = DecidersField(User.objects.none())
    reason = forms.CharField(max_length=300, label=gettext_lazy("Why"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["put_to"].queryset = people()  # type: ignore[attr-defined]


class DecisionMakeForm(Form):
    outcome = forms.ChoiceField(choices=[("", phrase("choose")), *Outcome.choices], label=gettext_lazy("Yes or no"))
    answer = forms.CharField(
        max_length=2000, label=gettext_lazy("What was decided"), widget=forms.Textarea({"rows": 4})
    )
    reason = forms.CharField(max_length=100, required=False, label=gettext_lazy("Why it changes"))

    def __init__(self, *args: Any, decision: Decision, no_yes: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["outcome"].help_text = no_yes
        if not decision.is_made:
            del self.fields["reason"]


class RegulatedForm(Form):
    touches = forms.ChoiceField(choices=list(SUBJECTS.items()), label=gettext_lazy("What it touches"))
    what = forms.CharField(max_length=200, label=gettext_lazy("What is changed"))
    step = forms.ModelChoiceField(
        Step.objects.none(),
        required=False,
        label=gettext_lazy("In which step"),
        empty_label=gettext_lazy("the job as a whole"),
    )

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["step"].queryset = job.steps.active()  # type: ignore[attr-defined]


class ApprovalForm(Form):
    licensed_person = forms.CharField(max_length=120, label=gettext_lazy("Approved by"))
    licence = forms.CharField(max_length=80, label=gettext_lazy("Licence or station number"))
    evidence = forms.CharField(
        max_length=300,
        label=gettext_lazy("Evidence"),
        help_text=gettext_lazy("Certificate, report or photo, and where it is kept."),
    )
    passed_on = DayField(label=gettext_lazy("Approved on"))
    valid_until = DayField(label=gettext_lazy("Licence valid until"))

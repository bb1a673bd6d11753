"""Forms about a step: what it is, what it needs, hours, sign-offs."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils.translation import gettext

from shop.base.fields import DayField, MomentField, UnitField
from shop.base.forms import Form
from shop.base.language import gettext_lazy, offered
from shop.base.numbers import AmountField, in_a_box, without_zeros
from shop.base.roles import ROLES
from shop.base.versions import VersionedForm
from shop.jobs.models import Decision, PartNeed, SignOff, Step
from shop.jobs.rules import HAZARDS
from shop.jobs.tightening import adapter_setting
from shop.worksheets.models import Worksheet
from specs.engine.calculation import BadInput
from specs.phrase import phrase


class PersonField(forms.ModelChoiceField):
    """A person who works here, by name."""

    def label_from_instance(self, obj: Any) -> str:
        return obj.get_full_name() or obj.get_username()


def people() -> Any:
    return User.objects.filter(is_active=True).order_by("first_name", "last_name", "username")


class HoursField(forms.DecimalField):
    """Hours: 1.5, 1,5 or 1:30."""

    default_error_messages = {"invalid": gettext_lazy("Give hours, for example 1.5 or 1:30.")}

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("help_text", gettext_lazy("Such as 1.5 or 1:30."))
        super().__init__(max_digits=6, decimal_places=2, **kwargs)
        self.widget = forms.TextInput({"inputmode": "decimal", "class": "short"})

    def prepare_value(self, value: Any) -> Any:
        return in_a_box(without_zeros(value))

    def to_python(self, value: Any) -> Any:
        text = str(value).strip() if value is not None else ""
        if ":" in text:
            whole, _, minutes = text.partition(":")
            if whole.isdecimal() and minutes.isdecimal() and len(minutes) == 2 and int(minutes) < 60:
                return (Decimal(whole) + Decimal(minutes) / 60).quantize(Decimal("0.01"))
        return super().to_python(text.replace(",", ".") or None)


class HazardField(forms.ChoiceField):
    """What the vehicle does in a step: always answered, never left to a default."""

    def __init__(self) -> None:
        super().__init__(
            choices=[("", phrase("choose")), *HAZARDS.items()],
            label=gettext_lazy("What happens in it"),
            help_text=gettext_lazy(
                "A step in which any of this happens neither starts nor finishes while something is open."
            ),
        )


class StepForm(VersionedForm):
    role = forms.ChoiceField(choices=offered(ROLES), label=gettext_lazy("Trade"))
    person = PersonField(
        User.objects.none(), required=False, label=gettext_lazy("Assigned to"), empty_label=gettext_lazy("anyone")
    )
    hours_estimated = HoursField(label=gettext_lazy("Hours estimated"), min_value=0, max_value=1000)
    hazard = HazardField()
    reason = forms.CharField(max_length=300, required=False, label=gettext_lazy("Why what guards it changes"))

    class Meta:
        model = Step
        fields = ["title", "text", "cautions", "hours_estimated", "role", "person", "hazard"]
        widgets = {"text": forms.Textarea({"rows": 8}), "cautions": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = people()  # type: ignore[attr-defined]
        if self.instance.pk is None:
            self.initial["hazard"] = ""
            del self.fields["reason"]
        self.fields["text"].help_text = gettext("Lists with - at the start of a line; **bold** between stars.")


class NeedForm(Form):
    """One of three: another step, a worksheet, a question."""

    needs_step = forms.ModelChoiceField(
        Step.objects.none(), required=False, label=gettext_lazy("Another step of the job"), empty_label="–"
    )
    worksheet = forms.ModelChoiceField(
        Worksheet.objects.none(), required=False, label=gettext_lazy("or a worksheet"), empty_label="–"
    )
    decision = forms.ModelChoiceField(
        Decision.objects.none(), required=False, label=gettext_lazy("or a decision"), empty_label="–"
    )

    def __init__(self, *args: Any, step: Step, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["needs_step"].queryset = step.job.steps.active().exclude(pk=step.pk)  # type: ignore[attr-defined]
        self.fields["worksheet"].queryset = Worksheet.objects.active()  # type: ignore[attr-defined]
        self.fields["decision"].queryset = step.job.decisions.active()  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not self.errors and sum(value is not None for value in given.values()) != 1:
            self.add_error(None, gettext("Choose exactly one: a step, a worksheet or a decision."))
        return given


class PartNeedForm(VersionedForm):
    asked_sometimes = ("text",)

    reason = forms.CharField(max_length=300, required=False, label=gettext_lazy("Why another part will do"))

    class Meta:
        model = PartNeed
        fields = ["component", "text", "quantity"]
        field_classes = {"quantity": AmountField}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["component"].empty_label = gettext("not on record: described below")  # type: ignore[attr-defined]
        if self.instance.pk is None:
            del self.fields["reason"]


class HereForm(Form):
    on = DayField(label=gettext_lazy("Here since"))
    quantity = AmountField(label=gettext_lazy("How many came"))
    same = forms.ChoiceField(
        choices=[("yes", gettext_lazy("the part that is needed")), ("no", gettext_lazy("another part in its place"))],
        widget=forms.RadioSelect,
        label=gettext_lazy("What came"),
    )
    instead = forms.CharField(max_length=100, required=False, label=gettext_lazy("Which part instead"))
    note = forms.CharField(
        max_length=200,
        label=gettext_lazy("Where it came from"),
        help_text=gettext_lazy("The shelf, the donor, made here."),
    )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("same") == "no" and not given.get("instead"):
            self.add_error("instead", gettext("Say which part came instead, and below why it will do."))
        if given.pop("same", "") == "yes":
            given["instead"] = ""
        return given


class GoOnForm(Form):
    go_on_because = forms.CharField(max_length=300, label=gettext_lazy("Go on, because"))


class CheckForm(Form):
    what = forms.CharField(max_length=200, label=gettext_lazy("What is checked"))
    specified = forms.CharField(
        max_length=300,
        required=False,
        label=gettext_lazy("What is specified"),
        help_text=gettext_lazy("Such as: 0.15 mm at most."),
    )


class LogHoursForm(Form):
    worker = PersonField(User.objects.none(), label=gettext_lazy("Who worked"))
    day = DayField(label=gettext_lazy("On which day"))
    hours = HoursField(label=gettext_lazy("Hours"))
    reason = forms.CharField(
        max_length=300,
        label=gettext_lazy("Why entered by hand"),
        help_text=gettext_lazy("A forgotten tap, work away from the shop."),
    )

    def __init__(self, *args: Any, only: User | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = people() if only is None else User.objects.filter(pk=only.pk)
        self.fields["worker"].queryset = chosen  # type: ignore[attr-defined]


class CorrectHoursForm(Form):
    hours = HoursField(
        label=gettext_lazy("Hours really worked"),
        help_text=gettext_lazy("Such as 1.5 or 1:30; 0 strikes the entry out."),
    )
    reason = forms.CharField(max_length=300, label=gettext_lazy("Why"))


class AdapterForm(Form):
    """The wrench and the adapter on it, for what the wrench is set to."""

    wrench = UnitField(kind="length", label=gettext_lazy("Wrench, drive to middle of the grip"))
    adapter = UnitField(
        kind="length",
        label=gettext_lazy("Adapter, drive to fastener"),
        help_text=gettext_lazy("Minus where it is turned back."),
    )
    turned = UnitField(
        kind="angle",
        label=gettext_lazy("Angle between them"),
        required=False,
        help_text=gettext_lazy("In line where left empty."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                self.setting(1.0)
            except BadInput as bad:
                for name, why in bad.errors.items():
                    field = {"wrench_length": "wrench", "extension": "adapter", "angle": "turned"}.get(name, "wrench")
                    self.add_error(field, why)
        return cleaned

    def setting(self, torque: float) -> float:
        """What the wrench is set to [N·m] for a torque at the fastener."""
        given = {name: typed.value for name, typed in self.cleaned_data.items() if typed is not None}
        return adapter_setting(torque, **given)


class SignTightenedForm(Form):
    value = UnitField(kind="torque", label=gettext_lazy("Tightened to"))
    angle = UnitField(kind="angle", label=gettext_lazy("Then turned further by"))
    tool = forms.CharField(
        max_length=80,
        label=gettext_lazy("With which wrench"),
        help_text=gettext_lazy("Its number, as on its label, and the adapter on it."),
    )
    done_at = MomentField(label=gettext_lazy("When"))
    note = forms.CharField(
        max_length=300,
        required=False,
        label=gettext_lazy("Note"),
        help_text=gettext_lazy("Needed where it is not as specified."),
    )
    new_fasteners = forms.BooleanField(required=False, label=gettext_lazy("New fasteners were fitted"))
    reason = forms.CharField(max_length=300, label=gettext_lazy("Why it is corrected"))

    def __init__(
        self,
        *args: Any,
        corrects: SignOff | None = None,
        single_use: bool = False,
        angles: Sequence[str] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        if angles:
            self.fields["angle"].help_text = gettext("Specified: {angles}. All angle stages together.").format(
                angles=" + ".join(angles)
            )
        else:
            del self.fields["angle"]
        if not single_use:
            del self.fields["new_fasteners"]
        if corrects is None:
            del self.fields["reason"]


class SignCheckedForm(Form):
    what = forms.CharField(
        max_length=200,
        label=gettext_lazy("What was checked"),
        help_text=gettext_lazy("Run-out, end float, release travel."),
    )
    specified = forms.CharField(
        max_length=300,
        required=False,
        label=gettext_lazy("What was specified"),
        help_text=gettext_lazy("Such as: 0.15 mm at most."),
    )
    result = forms.CharField(max_length=300, label=gettext_lazy("What was found"))
    passed = forms.ChoiceField(
        choices=[("yes", gettext_lazy("it passes")), ("no", gettext_lazy("it does not pass"))],
        widget=forms.RadioSelect,
        label=gettext_lazy("Does it pass?"),
    )
    tool = forms.CharField(max_length=80, label=gettext_lazy("With which gauge"))
    done_at = MomentField(label=gettext_lazy("When"))
    note = forms.CharField(max_length=300, required=False, label=gettext_lazy("Note"))
    reason = forms.CharField(max_length=300, label=gettext_lazy("Why it is corrected"))

    def __init__(self, *args: Any, corrects: SignOff | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if corrects is None:
            del self.fields["reason"]

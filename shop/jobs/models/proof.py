"""Proof of what was done: sign-offs, and the approvals of what a licensed person must see."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.language import word
from shop.jobs.queries import RegulatedItemQuerySet, SignOffQuerySet
from specs.models import Deletable, DeletableQuerySet, Versioned
from specs.models.base import Stored


class SignOff(Stored):
    """A person's statement that a fastener set was tightened, or a check made.

    Never edited: a correction is a new row that names the one it replaces, with a reason. What was specified for, and
    which pieces were there, is kept beside what was done, as it stood on the day.
    """

    step = models.ForeignKey("Step", on_delete=models.PROTECT, related_name="sign_offs")
    torque = models.ForeignKey("JobTorque", on_delete=models.PROTECT, null=True, blank=True, related_name="sign_offs")
    record = models.ForeignKey(
        "worksheets.AcceptedRecord", on_delete=models.PROTECT, null=True, blank=True, related_name="sign_offs"
    )
    required_check = models.ForeignKey(
        "RequiredCheck", on_delete=models.PROTECT, null=True, blank=True, related_name="sign_offs"
    )
    what = models.TextField(gettext_lazy("what was tightened or checked"))
    specified = models.TextField(gettext_lazy("what was specified"), blank=True)
    specified_value = models.FloatField(gettext_lazy("specified torque (N·m)"), null=True, blank=True)
    value_typed = models.CharField(gettext_lazy("to how much"), max_length=40, blank=True)
    value = models.FloatField(gettext_lazy("torque (N·m)"), null=True, blank=True)
    angle_typed = models.CharField(gettext_lazy("then turned further by"), max_length=40, blank=True)
    angle = models.FloatField(gettext_lazy("angle turned (rad)"), null=True, blank=True)
    result = models.CharField(gettext_lazy("what was found"), max_length=300, blank=True)
    tool = models.CharField(gettext_lazy("with which wrench or gauge"), max_length=80)
    note = models.CharField(max_length=300, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="sign_offs")
    done_at = models.DateTimeField()
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="checked_sign_offs"
    )
    checked_at = models.DateTimeField(null=True, blank=True)
    corrects = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="correction")
    reason = models.CharField(gettext_lazy("why it is corrected"), max_length=300, blank=True)
    passed = models.BooleanField("passes", default=True)
    check_again = models.TextField(blank=True)
    pieces = models.JSONField(gettext_lazy("pieces there when it was signed"), null=True, editable=False)
    asked = models.JSONField(gettext_lazy("what was asked of the fasteners"), null=True, editable=False)

    history = HistoricalRecords()
    objects = SignOffQuerySet.as_manager()
    asked_by = ("step",)

    class Meta:
        verbose_name = gettext_lazy("sign-off")
        ordering = ["done_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(checked_by=None, checked_at=None)
                | Q(checked_by__isnull=False, checked_at__isnull=False) & ~Q(checked_by=F("person")),
                name="signoff_checked_by_a_second_person",
            ),
            models.CheckConstraint(
                condition=Q(torque=None) | Q(value__isnull=False) & ~Q(value_typed=""),
                name="signoff_of_fasteners_has_a_value",
            ),
            models.CheckConstraint(condition=Q(corrects=None) | ~Q(reason=""), name="signoff_correction_has_a_reason"),
        ]

    def __str__(self) -> str:
        return f"{self.what}: {self.tightened or self.result}"

    @property
    def tightened(self) -> str:
        """To how much it was tightened, and how far it was turned after that, as typed."""
        return gettext(", then ").join(filter(None, [self.value_typed, self.angle_typed]))


class RegulatedItem(Versioned, Deletable):
    """Something in a job that touches what the law regulates, and so needs licensed approval before the road."""

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="regulated_items")
    step = models.ForeignKey("Step", on_delete=models.PROTECT, null=True, blank=True, related_name="regulated_items")
    touches = models.CharField(gettext_lazy("what it touches"), max_length=20)
    what = models.CharField(gettext_lazy("what is changed"), max_length=200)
    override_reason = models.CharField(max_length=300, blank=True, editable=False)
    override_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, editable=False, related_name="+"
    )
    override_at = models.DateTimeField(null=True, editable=False)

    history = HistoricalRecords()
    objects = RegulatedItemQuerySet.as_manager()
    asked_by = ("job",)

    class Meta(Deletable.Meta):
        ordering = ["touches", "pk"]

    def __str__(self) -> str:
        return f"{word(self.touches)}: {self.what}"


class Approval(Deletable):
    """The evidence that a licensed person passed a regulated item."""

    item = models.ForeignKey(RegulatedItem, on_delete=models.PROTECT, related_name="approvals")
    licensed_person = models.CharField(gettext_lazy("approved by"), max_length=120)
    licence = models.CharField(gettext_lazy("licence or station number"), max_length=80)
    evidence = models.CharField(gettext_lazy("certificate, report or photo, and where it is kept"), max_length=300)
    passed_on = models.DateField(gettext_lazy("approved on"))
    valid_until = models.DateField(gettext_lazy("licence valid until"), null=True)
    vehicle = models.ForeignKey("vehicles.Vehicle", on_delete=models.PROTECT, null=True, related_name="+")
    check_again = models.TextField(blank=True, editable=False)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["passed_on", "pk"]

    def __str__(self) -> str:
        return f"{self.licensed_person}, {self.licence}, {written.day(self.passed_on)}"

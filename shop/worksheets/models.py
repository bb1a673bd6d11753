"""Worksheets: calculations kept on a job or a component, what each takes its inputs from, and what was accepted."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.timezone import localtime
from django.utils.translation import gettext
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.roles import person_name
from specs.addresses import page_address
from specs.engine.calculation import find
from specs.models import Deletable, DeletableQuerySet, Versioned
from specs.models.base import FetchedQuerySet, Stored


def known_calculation(name: str) -> None:
    """Refuse the name of a calculation that is not there; checked in code, so that a new one needs no migration."""
    if find(name) is None:
        raise ValidationError(gettext('There is no calculation "{name}".').format(name=name))


class WorksheetQuerySet(DeletableQuerySet):
    def taken_from(self, dimension):
        """Worksheets that take an input from a dimension."""
        return self.filter(inputs__dimension=dimension).distinct()


class AcceptedIsFixed(TypeError):
    """What was accepted is evidence: it is neither changed nor deleted."""


class AcceptedRecordQuerySet(FetchedQuerySet):
    def last_of_each(self) -> AcceptedRecordQuerySet:
        """The last record of each worksheet."""
        last = self.model._default_manager.order_by().values("worksheet").annotate(last=models.Max("pk"))
        return self.filter(pk__in=last.values("last"))

    def update(self, **changes: Any):
        raise AcceptedIsFixed(gettext("An accepted record cannot be changed; accept the worksheet again."))

    def delete(self):
        raise AcceptedIsFixed(gettext("An accepted record cannot be deleted."))


class Worksheet(Versioned, Deletable):
    """One calculation kept. Its result is never stored here: it is worked out again wherever it is shown."""

    calculation = models.CharField(max_length=60, validators=[known_calculation])
    title = models.CharField(max_length=120)
    component = models.ForeignKey("specs.Component", models.PROTECT, null=True, blank=True, related_name="worksheets")
    notes = models.TextField(blank=True, max_length=4000)

    history = HistoricalRecords()
    objects = WorksheetQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["title", "pk"]
        indexes = [models.Index(fields=["calculation"])]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return page_address("worksheets:worksheet", self.pk)


class WorksheetInput(Stored):
    """Where one input comes from: typed by somebody, or taken from a dimension or from a whole hole pattern.

    `path` is an input's path: "clamp_force", "contributors.0.nominal", or a list's name for a pattern. `typed` is kept
    as it was typed; `unit` is the one meant where none was typed.
    """

    worksheet = models.ForeignKey(Worksheet, models.CASCADE, related_name="inputs")
    path = models.CharField(max_length=80)
    typed = models.CharField(max_length=200, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    dimension = models.ForeignKey("specs.Dimension", models.PROTECT, null=True, blank=True, related_name="+")
    pattern = models.ForeignKey("specs.HolePattern", models.PROTECT, null=True, blank=True, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    set_at = models.DateTimeField()

    history = HistoricalRecords()

    objects = FetchedQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["worksheet", "path"], name="worksheetinput_path_once"),
            models.CheckConstraint(
                condition=(Q(dimension=None) & Q(pattern=None) & ~Q(typed=""))
                | (Q(dimension__isnull=False) & Q(pattern=None) & Q(typed=""))
                | (Q(dimension=None) & Q(pattern__isnull=False) & Q(typed="")),
                name="worksheetinput_from_exactly_one_place",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.path}: {self.typed or self.dimension or self.pattern}"

    @property
    def credit(self) -> tuple[str, str]:
        """Who gave it, and on which day (ISO)."""
        return person_name(self.person), localtime(self.set_at).date().isoformat()


class AcceptedRecord(Stored):
    """What somebody accepted of a worksheet: written once, never changed, never deleted.

    `inputs` is a request in the contract's units that can be sent again; `sources` says for each input path where it
    came from that day; `outputs`, `checks` and `cautions` are as the calculation of that `revision` answered, `bands`
    the half-widths of the results [SI].
    """

    worksheet = models.ForeignKey(Worksheet, models.PROTECT, related_name="accepted")
    calculation = models.CharField(max_length=60)
    revision = models.PositiveIntegerField()
    inputs = models.JSONField()
    sources = models.JSONField()
    outputs = models.JSONField()
    checks = models.JSONField()
    cautions = models.JSONField()
    bands = models.JSONField()
    note = models.TextField(blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="accepted_worksheets")
    at = models.DateTimeField()

    objects = AcceptedRecordQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        get_latest_by = "pk"

    def __str__(self) -> str:
        return gettext("{worksheet}: accepted {moment}").format(
            worksheet=self.worksheet, moment=written.moment(localtime(self.at))
        )

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AcceptedIsFixed(gettext("An accepted record cannot be changed; accept the worksheet again."))
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AcceptedIsFixed(gettext("An accepted record cannot be deleted."))

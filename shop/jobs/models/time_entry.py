"""Hours: time entries of work on a step, by tap or by hand, corrected by a new record."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.roles import person_name
from shop.jobs.queries import TimeEntryQuerySet
from specs.models.base import Stored


class TimeEntry(Stored):
    """One stretch of one person's work on one step. Still running while `hours` is empty.

    A correction is a new row that names the one it replaces; only the last of such a chain counts.
    """

    step = models.ForeignKey("Step", on_delete=models.PROTECT, related_name="time_entries")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="time_entries")
    day = models.DateField()
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    hours = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)
    corrects = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="correction")
    reason = models.CharField(max_length=300, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()
    objects = TimeEntryQuerySet.as_manager()
    asked_by = ("step",)

    class Meta:
        ordering = ["day", "pk"]
        constraints = [
            models.UniqueConstraint("person", condition=Q(hours=None), name="time_entry_one_running_a_person"),
            models.CheckConstraint(
                condition=Q(hours__isnull=False) | Q(started_at__isnull=False, ended_at=None, corrects=None),
                name="time_entry_running_has_a_start",
            ),
            models.CheckConstraint(condition=Q(hours=None) | Q(hours__range=(0, 24)), name="time_entry_at_most_a_day"),
            models.CheckConstraint(
                condition=Q(ended_at=None) | Q(started_at=None) | Q(ended_at__gte=F("started_at")),
                name="time_entry_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=Q(corrects=None) | ~Q(reason=""), name="time_entry_correction_has_a_reason"
            ),
        ]

    def __str__(self) -> str:
        hours = gettext("running") if self.hours is None else f"{written.figures(str(self.hours))} h"
        return gettext("{name}: {hours} on {day}").format(
            name=person_name(self.person), hours=hours, day=written.day(self.day)
        )

    @property
    def is_running(self) -> bool:
        return self.hours is None

    def is_of(self, day: date) -> bool:
        """Whether work of this entry was done on a day: a clock may run past midnight, or run yet."""
        last = timezone.localdate(self.ended_at) if self.ended_at else self.day
        return self.day <= day and (self.is_running or day <= last)

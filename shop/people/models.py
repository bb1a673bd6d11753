from typing import cast

from django.conf import settings
from django.contrib.auth.models import User
from django.db import models
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.roles import Person
from specs.engine.units import System
from specs.models.base import Versioned
from specs.written import Days, Mark, WrittenForm, usual_form


class StaffChange(models.Model):
    """Something that was done about a person's place here: written once, by whom and when, never changed."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="staff_changes")
    words = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.person}: {self.words}"


class Preferences(Versioned):
    """How one person wants lengths, paper and pages."""

    class Units(models.TextChoices):
        METRIC = "metric", gettext_lazy("Metric: mm, N·m, kg")
        INCH = "inch", gettext_lazy("Inch: in, lbf·ft, lb")

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "Letter", gettext_lazy("Letter")

    class Theme(models.TextChoices):
        AUTO = "auto", gettext_lazy("As the device says")
        LIGHT = "light", gettext_lazy("Light")
        DARK = "dark", gettext_lazy("Dark")

    class Mark(models.TextChoices):
        SHOP = "", gettext_lazy("As the shop writes")
        POINT = ".", gettext_lazy("Point: 12.5")
        COMMA = ",", gettext_lazy("Comma: 12,5")

    class Days(models.TextChoices):
        SHOP = "", gettext_lazy("As the shop writes")
        NAME = "name", gettext_lazy("2 Mar 2026")
        ISO = "iso", "2026-03-02"
        DOT = "dot", "02.03.2026"
        SLASH = "slash", gettext_lazy("03/02/2026, the month first")

    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="preferences")
    units = models.CharField(
        gettext_lazy("lengths and torques shown in"), max_length=6, choices=Units, default=Units.METRIC
    )
    decimal_mark = models.CharField(
        gettext_lazy("figures written with"), max_length=1, choices=Mark, default=Mark.SHOP, blank=True
    )
    date_form = models.CharField(
        gettext_lazy("days written as"), max_length=5, choices=Days, default=Days.SHOP, blank=True
    )
    paper = models.CharField(gettext_lazy("paper in the printer"), max_length=6, choices=Paper, default=Paper.A4)
    theme = models.CharField(gettext_lazy("light or dark pages"), max_length=5, choices=Theme, default=Theme.AUTO)
    search_key = models.BooleanField(gettext_lazy("the key / goes to the search box, ? to help"), default=True)

    history = HistoricalRecords()

    class Meta:
        verbose_name = verbose_name_plural = gettext_lazy("preferences")

    @property
    def system(self) -> System:
        """The units, typed for ``specs.engine.units``."""
        return "inch" if self.units == self.Units.INCH else "metric"

    @property
    def written(self) -> WrittenForm:
        """How figures and days are written for this person."""
        usual = usual_form()
        return WrittenForm(cast(Mark, self.decimal_mark or usual.mark), cast(Days, self.date_form or usual.days))

    def __str__(self) -> str:
        return gettext("preferences of {user}").format(user=self.user)


_READ = "_preferences_read"  # kept on the person for the rest of the request


def preferences_of(person: Person) -> Preferences:
    """A person's preferences, or the usual ones (unsaved) for a stranger or someone who never chose; read once."""
    kept: Preferences | None = getattr(person, _READ, None)
    if kept is None:
        kept = _stored(person) if isinstance(person, User) else Preferences()
        setattr(person, _READ, kept)
    return kept


def remember_preferences(person: User, chosen: Preferences) -> None:
    """Let these be a person's preferences for the rest of the request."""
    chosen.user = person
    setattr(person, _READ, chosen)


def _stored(person: User) -> Preferences:
    return Preferences.objects.filter(user=person).first() or Preferences(user=person)

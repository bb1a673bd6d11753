"""What to know next time."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.jobs.queries import LessonQuerySet
from specs.addresses import page_address
from specs.models import Deletable, Versioned


class Lesson(Versioned, Deletable):
    """What to know next time, tied to the components and the steps where it applies."""

    title = models.CharField(max_length=120)
    text = models.TextField(gettext_lazy("what to know"), max_length=4000)
    components = models.ManyToManyField("specs.Component", related_name="lessons", blank=True)
    template_steps: models.ManyToManyField = models.ManyToManyField("TemplateStep", related_name="lessons", blank=True)
    learned_at = models.ForeignKey(
        "Step",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="lessons",
        verbose_name=gettext_lazy("learned at step"),
    )
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="lessons", editable=False
    )
    written_on = models.DateField(editable=False)

    history = HistoricalRecords(m2m_fields=[components, template_steps])
    objects = LessonQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-written_on", "-pk"]
        indexes = [
            models.Index(fields=["-written_on", "-id"], name="lesson_by_day"),
            models.Index(fields=["-written_on", "id", "deleted_at"], name="lesson_list"),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return page_address("jobs:lesson", self.pk)

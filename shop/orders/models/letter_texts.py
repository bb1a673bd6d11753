"""What the shop itself wrote in a supplier's language, a text for each kind of letter."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from specs.models import Versioned


def _text(words: Any) -> Any:
    return models.TextField(words, blank=True, max_length=2000)


class LetterTexts(Versioned):
    """The shop's own texts in one language, each put above the English draft of its kind; an empty one is not used.

    They are written by people who know the language, and name nothing that the English draft works out.
    """

    language = models.CharField(gettext_lazy("language"), max_length=40, editable=False)
    chase = _text(gettext_lazy("asking when it comes"))
    all_open = _text(gettext_lazy("about all that is open"))
    order = _text(gettext_lazy("placing an order"))
    confirmation = _text(gettext_lazy("asking to confirm an order"))
    cancellation = _text(gettext_lazy("cancelling"))
    sent_back = _text(gettext_lazy("returning parts"))
    wrong_part = _text(gettext_lazy("telling of wrong parts"))
    short = _text(gettext_lazy("telling of missing pieces"))

    history = HistoricalRecords()

    class Meta:
        ordering = ["language", "pk"]
        verbose_name_plural = gettext_lazy("letter texts")
        constraints = [
            models.UniqueConstraint(
                Lower("language"),
                name="lettertexts_language_once",
                violation_error_message=gettext_lazy(
                    "Somebody began texts in this language meanwhile: open the page again."
                ),
            ),
        ]

    def __str__(self) -> str:
        return gettext("texts in {language}").format(language=self.language)

"""Documents that are kept with a record: what each says of itself, how one comes to be kept, and who may open it."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import PurePosixPath
from typing import ClassVar

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.db import models
from django.db.models import Q

from shop.base.file_kinds import LONGEST_NAME, kind_of, shown_name, why_not_kept
from shop.base.language import gettext_lazy
from shop.base.pictures import as_kept
from shop.base.seen_by import OWN_MONEY, PART_PRICES
from specs.models import Deletable, DeletableQuerySet


@dataclass(frozen=True)
class Paper:
    """What a document can be: the words for it, and the action that opening it takes where prices stand on it."""

    words: str
    seen_by: str = ""


PAPERS: Mapping[str, Paper] = {
    "quotation": Paper(gettext_lazy("quotation"), PART_PRICES),
    "confirmation": Paper(gettext_lazy("order confirmation"), PART_PRICES),
    "delivery note": Paper(gettext_lazy("delivery note")),
    "invoice": Paper(gettext_lazy("invoice"), PART_PRICES),
    "price list": Paper(gettext_lazy("price list"), PART_PRICES),
    "terms": Paper(gettext_lazy("terms of business")),
    "our quotation": Paper(gettext_lazy("our quotation"), OWN_MONEY),
    "our invoice": Paper(gettext_lazy("our invoice"), OWN_MONEY),
    "letter": Paper(gettext_lazy("letter or mail")),
    "picture": Paper(gettext_lazy("picture")),
    "drawing": Paper(gettext_lazy("drawing")),
    "data sheet": Paper(gettext_lazy("data sheet")),
    "certificate": Paper(gettext_lazy("certificate or approval")),
    "other": Paper(gettext_lazy("something else")),
}
"""What a document can be. Checked in code, so that a further one needs no migration."""


def safe_place(document: models.Model, name: str) -> str:
    """A name on the disk that nobody chose and nobody can guess, in its room's folder, with the ending of `name`."""
    return f"{document._meta.app_label}/{secrets.token_hex(16)}{PurePosixPath(name).suffix}"


class KeptFile(Deletable):
    """One file kept with a record. Never changed: a corrected one is kept anew and the old one deleted."""

    kept_papers: ClassVar[tuple[str, ...]] = tuple(PAPERS)
    """Which of PAPERS this kind of document can be, the likeliest first."""

    paper = models.CharField(gettext_lazy("what it is"), max_length=20, default="other")
    name = models.CharField(gettext_lazy("name of the file"), max_length=LONGEST_NAME)
    note = models.CharField(gettext_lazy("what to know of it"), max_length=200, blank=True)
    file = models.FileField(upload_to=safe_place, max_length=100)
    content_type = models.CharField(max_length=60, editable=False)
    size = models.PositiveIntegerField(gettext_lazy("size in bytes"), editable=False)
    digest = models.CharField(gettext_lazy("SHA-256 of the content"), max_length=64, editable=False)
    attached_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    attached_at = models.DateTimeField(auto_now_add=True)

    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        abstract = True
        ordering = ["attached_at", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(size__gt=0), name="%(class)s_not_empty"),
        ]

    def __str__(self) -> str:
        return self.name if self.paper == "other" else f"{self.paper_words} {self.name}"

    @property
    def paper_words(self) -> str:
        return PAPERS[self.paper].words if self.paper in PAPERS else self.paper

    @property
    def seen_by(self) -> str:
        """The action that opening it takes; "" where no price stands on it. Of an unknown paper the owner decides."""
        return PAPERS[self.paper].seen_by if self.paper in PAPERS else OWN_MONEY

    def hold(self, *, name: str, content: bytes) -> None:
        """Take a file in, under a name on the disk that nobody chose. Raises ValidationError for what is not kept."""
        kind = kind_of(content)
        if kind is None or why_not_kept(name, content):
            raise ValidationError({"file": why_not_kept(name, content)})
        content = as_kept(content, kind)
        self.name, self.content_type, self.size = shown_name(name), kind.content_type, len(content)
        self.digest = sha256(content).hexdigest()
        self.file = ContentFile(content, f"document{kind.ending}")

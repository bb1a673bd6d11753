"""The ways in which a shop and a supplier speak with one another."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy

HOW = {
    "phone": gettext_lazy("by telephone"),
    "mail": gettext_lazy("by e-mail"),
    "letter": gettext_lazy("by letter"),
    "portal": gettext_lazy("on the supplier's page"),
    "person": gettext_lazy("in person"),
}


class HowField(models.CharField):
    """One of HOW. Checked in code, so that a further way needs no migration."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **{"max_length": 20, "default": "phone", **kwargs})

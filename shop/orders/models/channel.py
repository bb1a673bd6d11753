"""The ways in which a shop and a supplier speak with one another."""

from __future__ import annotations

from django.db import models

HOW = {
    "phone": "by telephone",
    "mail": "by e-mail",
    "letter": "by letter",
    "portal": "on the supplier's page",
    "person": "in person",
}


class HowField(models.CharField):
    """One of HOW. Checked in code, so that a further way needs no migration."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **{"max_length": 20, "default": "phone", **kwargs})

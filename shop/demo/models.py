from django.db import models


class DemoMark(models.Model):
    """Says that this database holds the demo and nothing real."""

    made_on = models.DateField()

    def __str__(self) -> str:
        return f"demo of {self.made_on}"

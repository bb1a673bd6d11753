"""The invented people of the demo, and what every area's part of it knows.

Each part is a file of ``shop/demo/``::

    def make(world: World) -> None:
        Vehicle.objects.create(..., received_on=world.day(-40))

What a later area needs to find by name goes into ``world.made``.
"""

import random
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.contrib.auth.models import User

from shop.base.roles import (
    BUYER,
    FITTER,
    MACHINIST,
    OWNER,
)

MAIL_DOMAIN = "workshop.example"
"""Reserved for examples by RFC 2606: nothing sent there reaches anybody."""

PASSWORD = "plate-and-flywheel"
PEOPLE = (
    ("hedda", "Hedda", "Marlow", OWNER),
    ("jonas", "Jonas", "Pike", FITTER),
    ("ama", "Ama", "Darrow", FITTER),
    ("tibor", "Tibor", "Lund", MACHINIST),
    ("wren", "Wren", "Calloway", BUYER),
)


@dataclass
class World:
    """What every part of the demo knows: today, the people by sign-in name, chance that repeats, things by name."""

    today: date
    people: dict[str, User]
    chance: random.Random = field(default_factory=lambda: random.Random(1861))
    made: dict[str, Any] = field(default_factory=dict)

    def day(self, offset: int) -> date:
        """The day that many days after today; before it when negative."""
        return self.today + timedelta(days=offset)

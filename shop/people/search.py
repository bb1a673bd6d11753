from django.contrib.auth.models import User
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.roles import person_name
from shop.base.search import Searched

SEARCHED = [
    Searched(
        "Person",
        70,
        User,
        name=person_name,
        words=lambda person: (person.username,),
        address=lambda person: reverse("people:person", args=[person.pk]),
        note=lambda person: "" if person.is_active else gettext("left"),
    ),
]

"""The site's mark, where browsers ask for one."""

from django.test import Client
from django.urls import reverse


def test_it_leads_to_the_mark_without_signing_in(client: Client) -> None:
    response = client.get(reverse("home:icon"))
    assert response.status_code == 302
    assert response.url.endswith("img/mark.svg")

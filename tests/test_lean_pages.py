"""No page of the demo has the process that makes it read what is tens of megabytes (`specs.apart`)."""

import pytest
from django.conf import settings
from django.db.models import Model
from django.urls import reverse

from shop.planning.drawing_lock import at_work
from tests.addresses import Address
from tests.apart import heavy_work_elsewhere
from tests.walk import ADDRESSES, Walk

pytestmark = pytest.mark.django_db

EVERY = pytest.mark.parametrize("address", ADDRESSES, ids=[address.name for address in ADDRESSES])


@pytest.fixture(scope="module")
def walk(kinds: dict[str, type[Model]], demo: None, until_the_file_ends: None) -> Walk:
    return Walk(kinds)


@EVERY
def test_a_page_leaves_heavy_work_to_another_process(address: Address, walk: Walk) -> None:
    if "GET" in address.methods:
        settings.DATA_DIR.mkdir(parents=True, exist_ok=True)
        with at_work(), heavy_work_elsewhere():
            for parts in walk.drawn(address):
                walk.page(reverse(address.name, kwargs=parts))

"""Whoever reads figures with a comma reads them so in sentences too: of the engine, which has most of them."""

import pytest
from django.contrib.auth.models import User
from django.db.models import Model
from django.urls import reverse

from shop.people.models import Preferences
from specs.written import PROPERTY_CLASSES, find_in_prose
from tests.addresses import Address
from tests.pseudo import texts, write_with_commas
from tests.test_language import published
from tests.walk import ADDRESSES, Walk

pytestmark = pytest.mark.django_db

BOTH = ("12.5", "12,5")
"""Said of both marks to everybody: what a box understands, and what one may choose."""
READ = [each for each in ADDRESSES if "GET" in each.methods and each.name.startswith(("calculate:", "torque:"))]
EVERY = pytest.mark.parametrize("address", READ, ids=[address.name for address in READ])


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def walk(kinds: dict[str, type[Model]], demo: None, until_the_file_ends: None) -> Walk:
    walk = Walk(kinds)
    reader = User.objects.get(username="walker")
    Preferences.objects.update_or_create(user=reader, defaults={"decimal_mark": ","})
    write_with_commas()
    return walk


def pointed(said: str) -> list[str]:
    """The figures of a text that have a point, but for titles of publications and names of strengths."""
    for title in published():
        said = said.replace(title, " ")
    return [figure for figure in find_in_prose(said) if figure not in (*PROPERTY_CLASSES, *BOTH)]


@EVERY
def test_no_sentence_writes_a_figure_with_another_mark_than_its_reader(address: Address, walk: Walk) -> None:
    for parts in walk.drawn(address):
        page = walk.page(reverse(address.name, kwargs=parts))
        if walk.status == 200 and walk.kind.startswith("text/html"):
            assert [(said, found) for _, said in texts(page) if (found := pointed(said))] == []

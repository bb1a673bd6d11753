"""The morning's mail can be said in another language, as pages can (`tests.test_language`)."""

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from shop.planning.morning_mail import digest_of
from tests.pseudo import in_pseudo, untranslated, write_in_greek
from tests.test_language import KNOWN, USERNAMES

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def written(demo: None, until_the_file_ends: None) -> None:
    write_in_greek()


def test_the_morning_mail_says_no_word_that_cannot_be_translated(written: None) -> None:
    said = []
    with in_pseudo():
        for person in User.objects.filter(is_active=True):
            digest = digest_of(person, timezone.localdate())
            said += [digest.subject, *digest.body.splitlines()]
    assert len(said) > 20
    assert set(untranslated((("", line) for line in said), KNOWN)) - USERNAMES == set()

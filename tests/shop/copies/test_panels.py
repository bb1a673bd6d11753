"""The owner's first page says how old the copy is that would come back today."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone

from shop.copies.record import Proof, keep_proof
from tests.pages import words_of

pytestmark = pytest.mark.django_db


def proven(age: timedelta) -> None:
    now = timezone.now()
    keep_proof(Proof(now, "workshop-20261125-020000.zip", now - age))


def test_no_proven_copy_is_told(owner: Client) -> None:
    assert "No copy has been brought back on trial yet" in words_of(owner.get("/"))


def test_its_age_is_told(owner: Client) -> None:
    proven(timedelta(days=3, hours=2))
    assert "Last proven copy" in words_of(owner.get("/"))
    assert "3 days" in words_of(owner.get("/"))
    assert "Done: Last proven copy" in words_of(owner.get("/"))


def test_an_old_one_is_late(owner: Client) -> None:
    proven(timedelta(days=9))
    assert "Late: Last proven copy" in words_of(owner.get("/"))


def test_a_copy_from_the_future_is_told(owner: Client) -> None:
    proven(timedelta(days=-2))
    assert "check this machine's clock" in words_of(owner.get("/"))


def test_the_fitter_is_not_troubled(fitter: Client) -> None:
    assert "Last proven copy" not in words_of(fitter.get("/"))
    assert not (Path(settings.DATA_DIR) / "copies.json").exists()

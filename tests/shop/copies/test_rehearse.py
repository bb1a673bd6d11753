"""The newest copy is brought back on trial; the result and its day are kept, and an old one is red."""

from datetime import timedelta
from pathlib import Path

import pytest

from shop.copies.make import make_copy
from shop.copies.record import copy_is_overdue, last_failure, proven_age
from shop.copies.refusals import CopyRefused
from shop.copies.rehearse import rehearse
from shop.copies.site import Site
from tests.shop.copies.conftest import DOCUMENT, NOW, left_in


def test_the_newest_copy_comes_back_and_its_age_counts(site: Site, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    for night in range(2):
        make_copy(site, copies, now=NOW + timedelta(days=night))
    before = left_in(site.data)
    proof = rehearse(site, copies, now=NOW + timedelta(days=2))
    assert proof.copy == "workshop-20261126-020000.zip"
    assert left_in(site.data) == before | {"copies.json"}
    assert proven_age(NOW + timedelta(days=2), site.data) == timedelta(days=1)


@pytest.mark.parametrize(
    ("age", "overdue"),
    [
        (timedelta(0), False),
        (timedelta(days=8), False),
        (timedelta(days=8, minutes=1), True),
        (timedelta(days=-1), True),
    ],
)
def test_past_eight_days_or_from_the_future_it_is_red(site: Site, copy: Path, age: timedelta, overdue: bool) -> None:
    rehearse(site, copy, now=NOW)
    assert copy_is_overdue(NOW + age, site.data) is overdue


def test_no_copy_proven_is_red(site: Site) -> None:
    assert proven_age(NOW, site.data) is None
    assert copy_is_overdue(NOW, site.data)


def test_a_damaged_newest_copy_is_red_until_one_comes_back(site: Site, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    rehearse(site, make_copy(site, copies, now=NOW).path, now=NOW)
    bad = make_copy(site, copies, now=NOW + timedelta(days=1)).path
    bad.write_bytes(bad.read_bytes()[:-1])
    with pytest.raises(CopyRefused, match="cut short"):
        rehearse(site, copies, now=NOW + timedelta(days=1))
    assert copy_is_overdue(NOW + timedelta(days=1), site.data)
    failed = last_failure(site.data)
    assert failed is not None
    assert "cut short" in failed.failure
    make_copy(site, copies, now=NOW + timedelta(days=2))
    rehearse(site, copies, now=NOW + timedelta(days=2))
    assert not copy_is_overdue(NOW + timedelta(days=2), site.data)


def test_a_folder_without_a_copy_is_told_and_red(site: Site, tmp_path: Path) -> None:
    with pytest.raises(CopyRefused, match="no copy in"):
        rehearse(site, tmp_path, now=NOW)
    assert copy_is_overdue(NOW, site.data)


def test_a_copy_that_lacks_files_is_red(site: Site, tmp_path: Path) -> None:
    """They were gone from the disk: while good copies are still kept, somebody must look."""
    (site.files / DOCUMENT).unlink()
    rehearse(site, make_copy(site, tmp_path / "copies", now=NOW).path, now=NOW)
    assert copy_is_overdue(NOW, site.data)


def test_a_record_that_cannot_be_read_counts_as_none(site: Site, copy: Path) -> None:
    rehearse(site, copy, now=NOW)
    (site.data / "copies.json").write_text('{"proven": {"at": "')
    assert proven_age(NOW, site.data) is None

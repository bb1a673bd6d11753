"""A monitor learns whether somebody should look, and nothing that is nobody's business."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.copies.record import Proof, keep_proof
from shop.orders.models import Mail
from shop.serving import health
from shop.serving.jobs import JOBS, JobRun
from shop.serving.runs import keep_runs, read_runs

ADDRESS = reverse("serving:health")


@pytest.fixture
def well(db: None, settings: Any) -> Path:
    """A box on which all is well."""
    folder = Path(settings.DATA_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    now = timezone.now()
    keep_runs({job.name: JobRun(now, True, good=now) for job in JOBS}, folder)
    keep_proof(Proof(at=now, copy="workshop-1.zip", made_at=now - timedelta(days=1)))
    return folder


def asked() -> dict[str, Any]:
    response = Client().get(ADDRESS)
    assert response.status_code == (200 if response.json()["well"] else 503)
    return response.json()


def unwell(said: dict[str, Any]) -> list[str]:
    return [name for name, part in said.items() if isinstance(part, dict) and not part["well"]]


def test_a_stranger_may_ask_and_learns_that_all_is_well(well: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(health, "LEAST_FREE", 0)
    monkeypatch.setattr(health, "LEAST_FREE_PERCENT", 0)
    monkeypatch.setattr(health, "SLOW_DATABASE_MS", 60_000)
    said = asked()
    assert unwell(said) == []
    assert said["copy"]["facts"] == {"proven_days": 1.0}
    assert Client().post(ADDRESS).status_code == 405


def test_a_box_that_has_proved_no_copy_is_not_well(well: Path) -> None:
    (well / "copies.json").unlink()
    assert "copy" in unwell(asked())


def test_a_copy_past_eight_days_is_not_well(well: Path) -> None:
    now = timezone.now()
    keep_proof(Proof(at=now, copy="workshop-1.zip", made_at=now - timedelta(days=8, hours=1)))
    assert "copy" in unwell(asked())


def test_mail_that_waits_for_over_an_hour_is_not_well(well: Path) -> None:
    mail = Mail.objects.create(to="orders@maker.example", subject="Where is it?", body="Dear", message_id="<1@x>")
    assert "mail" not in unwell(asked())
    Mail.objects.filter(pk=mail.pk).update(written_at=timezone.now() - timedelta(hours=2))
    said = asked()
    assert "mail" in unwell(said)
    assert said["mail"]["facts"]["waiting"] == 1
    assert "maker" not in str(said)


def test_a_job_that_was_not_begun_is_named(well: Path) -> None:
    before = timezone.now() - timedelta(days=2)
    keep_runs({**read_runs(well), "backup": JobRun(before, True, good=before)}, well)
    said = asked()
    assert said["timed"]["facts"]["late"] == ["backup"]
    assert "timed" in unwell(said)


def test_a_nightly_copy_that_failed_is_told_by_the_status_at_once_and_until_one_is_made(well: Path) -> None:
    run = read_runs(well)["backup"].begin(timezone.now())
    for_now = {**read_runs(well), "backup": run}
    keep_runs(for_now, well)
    assert "timed" not in unwell(asked()), "it is at work"
    keep_runs({**for_now, "backup": run.end("the disk is full")}, well)
    said = asked()
    assert said["timed"]["facts"]["failed"] == ["backup"]
    assert "timed" in unwell(said)
    assert "full" not in str(said)
    keep_runs({**for_now, "backup": run.end("").begin(timezone.now()).end("")}, well)
    assert "timed" not in unwell(asked())


def test_a_job_that_ends_its_process_each_time_it_is_begun_is_told(well: Path) -> None:
    last = timezone.now() - timedelta(days=2)
    keep_runs({**read_runs(well), "backup": JobRun(last, True, good=last).begin(timezone.now())}, well)
    said = asked()
    assert said["timed"]["facts"]["late"] == ["backup"]
    assert "timed" in unwell(said)


def test_a_clock_that_was_set_back_is_told(well: Path) -> None:
    keep_runs({**read_runs(well), "prune": JobRun(timezone.now() + timedelta(hours=3), True)}, well)
    said = asked()
    assert "clock" in unwell(said)
    assert 10_000 < said["clock"]["facts"]["off_seconds"] <= 10_800


def test_a_disk_that_fills_up_is_told(well: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(health, "LEAST_FREE", 2**60)
    assert "disk" in unwell(asked())


def test_a_full_disk_of_the_copies_is_told_where_the_data_has_room(
    well: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.SHOP_COPIES = well / "copies"
    settings.SHOP_COPIES.mkdir()
    monkeypatch.setattr(
        health.shutil,
        "disk_usage",
        lambda place: SimpleNamespace(total=2**42, free=2**20 if place == settings.SHOP_COPIES else 2**41),
    )
    assert "disk" in unwell(asked())


def test_a_part_that_cannot_be_looked_at_is_not_well(well: Path, settings: Any) -> None:
    settings.DATA_DIR = well / "gone"
    said = asked()
    assert "disk" in unwell(said)


def test_what_was_kept_of_the_timed_work_and_cannot_be_read_counts_as_nothing(tmp_path: Path) -> None:
    assert read_runs(tmp_path) == {}
    (tmp_path / "timed.json").write_text('{"backup": 3}')
    assert read_runs(tmp_path) == {}
    night = datetime(2026, 11, 3, 2, tzinfo=UTC)
    run = JobRun(night, False, "full", good=night - timedelta(days=1))
    assert keep_runs({"backup": run}, tmp_path)
    assert read_runs(tmp_path) == {"backup": run}
    assert (tmp_path / "timed.json").stat().st_mode & 0o077 == 0
    assert not keep_runs({"backup": run}, tmp_path / "gone")

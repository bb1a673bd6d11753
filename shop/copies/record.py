"""What this box knows of its copies: kept beside the database, which a restore replaces.

`proven_age` is what the first page and the health address ask: how old is what would come back today?
"""

import json
import os
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings

NAME = "copies.json"
RED_AFTER = timedelta(days=8)
# A clock may be set by a little; a copy from the future is no sign of health.
CLOCK_SLACK = timedelta(hours=1)
KEPT_RESTORES = 20


@dataclass(frozen=True)
class Proof:
    """The last rehearsal: when it was, which copy it was of and when that was made, and why it failed, if it did.

    `missing` counts the files that its records name and that were gone from the disk when the copy was made.
    """

    at: datetime
    copy: str
    made_at: datetime | None
    failure: str = ""
    missing: int = 0


def proven_age(now: datetime, data: Path | None = None) -> timedelta | None:
    """The age of the newest copy that a rehearsal has brought back whole; None where there is none."""
    proven = last_proof(data, kind="proven")
    return now - proven.made_at if proven and proven.made_at else None


def copy_is_overdue(now: datetime, data: Path | None = None) -> bool:
    """Whether the owner must look: no proven copy, one past 8 days, of the future or lacking files, or a failure."""
    age, failed, proven = proven_age(now, data), last_failure(data), last_proof(data, kind="proven")
    lacking = bool(proven and proven.missing)
    return age is None or failed is not None or lacking or not -CLOCK_SLACK <= age <= RED_AFTER


def last_failure(data: Path | None = None) -> Proof | None:
    """The failed rehearsal, where none has succeeded since."""
    failed = last_proof(data, kind="failed")
    return failed if failed and failed.failure else None


def last_proof(data: Path | None = None, *, kind: str) -> Proof | None:
    said = _read(data).get(kind) or {}
    try:
        made = said["made_at"] and datetime.fromisoformat(said["made_at"])
        return Proof(datetime.fromisoformat(said["at"]), said["copy"], made, said["failure"], int(said["missing"]))
    except (TypeError, KeyError, ValueError):
        return None


def keep_proof(proof: Proof, data: Path | None = None) -> None:
    """Record a rehearsal; one that succeeded takes back the failure before it."""
    said = _read(data)
    one: dict[str, Any] = {"at": proof.at.isoformat(), "copy": proof.copy, "failure": proof.failure}
    one["missing"] = proof.missing
    one["made_at"] = proof.made_at.isoformat() if proof.made_at else ""
    if proof.failure:
        said["failed"] = one
    else:
        said["proven"] = one
        said.pop("failed", None)
    _write(said, data)


def keep_restore(at: datetime, copy: str, made_at: datetime, above: int, data: Path | None = None) -> None:
    """Record that data came back: from which copy, and by how much numbers go on above it."""
    said = _read(data)
    one = {"at": at.isoformat(), "copy": copy, "made_at": made_at.isoformat(), "numbers_above": above}
    said["restored"] = [*said.get("restored", []), one][-KEPT_RESTORES:]
    _write(said, data)


def _place(data: Path | None) -> Path:
    return (data or Path(settings.DATA_DIR)) / NAME


def _read(data: Path | None) -> dict[str, Any]:
    try:
        said = json.loads(_place(data).read_text())
    except (OSError, ValueError):
        return {}
    return said if isinstance(said, dict) else {}


def _write(said: dict[str, Any], data: Path | None) -> None:
    place = _place(data)
    place.parent.mkdir(parents=True, exist_ok=True)
    unfinished = place.with_name(f"{NAME}.{os.getpid()}")
    with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
        json.dump(said, file, indent=1)
        file.flush()
        os.fsync(file.fileno())
    unfinished.replace(place)

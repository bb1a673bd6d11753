"""How the timed work went, kept beside the data, for the health address and for the next start."""

import json
import os
from datetime import datetime
from pathlib import Path
from typing import Any

from shop.serving.jobs import JobRun

NAME = "timed.json"


def read_runs(folder: Path) -> dict[str, JobRun]:
    """The last run of each job; none where nothing was kept or it cannot be read."""
    try:
        kept = json.loads((folder / NAME).read_text())
        return {name: _run(said) for name, said in kept.items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}


def keep_runs(runs: dict[str, JobRun], folder: Path) -> bool:
    """Write the runs down, whole or not at all; False where the disk does not take it."""
    place, unfinished = folder / NAME, folder / f"{NAME}.{os.getpid()}"
    told = {name: _told(run) for name, run in runs.items()}
    try:
        with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            json.dump(told, file, indent=1)
        unfinished.replace(place)
    except OSError:
        unfinished.unlink(missing_ok=True)
        return False
    return True


def _told(run: JobRun) -> dict[str, Any]:
    good = run.good.isoformat() if run.good else None
    return {"began": run.began.isoformat(), "well": run.well, "words": run.words, "good": good}


def _run(said: dict[str, Any]) -> JobRun:
    began, well, good = datetime.fromisoformat(said["began"]), bool(said["well"]), said.get("good")
    last_good = datetime.fromisoformat(good) if good else began if well else None
    return JobRun(began, well, str(said.get("words", "")), last_good)

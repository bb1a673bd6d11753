"""What runs for measure → changed → accept → card: files, functions and lines of shop/ and specs/, on a warm process.

Run it with ``python -m tests.trace_flow``. A stranger who changes this flow must be able to read all that it runs.
Files that a customer's form runs too are the frame of every page (sign-in, menu, forms, search): counted, and marked.
tests/test_imports.py holds both counts.
"""

from __future__ import annotations

import os
import re
import sys
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
Trace = dict[str, set[str]]


def trace(act: Callable[[], Any]) -> Trace:
    """Run something and return the functions that ran, by file."""
    seen: Trace = defaultdict(set)
    roots = tuple(f"{ROOT}/{package}/" for package in ("shop", "specs"))

    def profile(frame: FrameType, event: str, arg: Any) -> None:
        code = frame.f_code
        if event == "call" and code.co_filename.startswith(roots) and code.co_name != "<module>":
            seen[code.co_filename[len(str(ROOT)) + 1 :]].add(f"{code.co_name}:{code.co_firstlineno}")

    sys.setprofile(profile)
    try:
        act()
    finally:
        sys.setprofile(None)
    return seen


def lines_of(file: str) -> int:
    return len((ROOT / file).read_text(encoding="utf-8").splitlines())


def flow(name: str) -> Callable[[], None]:
    """Return the flow over a new job and its worksheet: accept, measure, look, accept again, print the card."""
    from django.test import Client

    from tests.factories.jobs import make_job, make_step
    from tests.factories.measuring import make_component, make_dimension, make_reading
    from tests.factories.people import make_person
    from tests.factories.worksheets import make_worksheet

    component = make_component(maker="Own make", name=f"crow's foot {name}")
    dimension = make_dimension(component=component, name="reach")
    make_reading(dimension=dimension, mm=50)
    inputs = {"target": "100 N*m", "wrench_length": "400 mm", "extension": dimension}
    worksheet = make_worksheet(inputs, title="Wrench setting", component=component)
    job = make_job(title="Gearbox")
    job.worksheets.add(worksheet)
    make_step(job=job, title="Tighten")
    client = Client()
    client.force_login(make_person(username=name, roles=["fitter"]))

    def accept(note: str = "") -> None:
        _press(client, f"/worksheets/{worksheet.pk}/", f"/worksheets/{worksheet.pk}/accept/", note=note)

    def run() -> None:
        accept()
        measure = f"/measuring/dimensions/{dimension.pk}/measure/"
        reading = {"value": "2 1/8 in", "tolerance": "0,1", "instrument": "caliper no. 2", "measured_on": "2026-03-02"}
        reading["confirmed"] = "on"  # It contradicts the first, and is right.
        _press(client, measure, measure, **reading)
        assert b"changed since" in client.get(f"/worksheets/{worksheet.pk}/").content.lower()
        accept(note="the first was read to another edge")
        card = f"/print/new/job-card/{job.pk}/"
        _press(client, card, card, paper="A4")

    return run


def frame(name: str) -> Callable[[], None]:
    """Return what a page of another room does: show a new customer's form, save it, show the customer."""
    from django.template.autoreload import reset_loaders
    from django.test import Client

    from tests.factories.people import make_person

    client = Client()
    client.force_login(make_person(username=f"{name}, owner", roles=["owner"]))
    page = "/vehicles/customers/new/"

    def run() -> None:
        reset_loaders()  # what is kept of the frame (`shop.base.kept_markup`) is made once more, and seen
        assert client.get(_press(client, page, page, name=name)).status_code == 200

    return run


def _press(client: Any, page: str, address: str, **sent: str) -> str:
    """Open a page, send its form with what is hidden in it, and return where that leads."""
    text = client.get(page).content.decode()
    forms = re.findall(r"<form\b.*?</form>", text, re.DOTALL)
    form = next((form for form in forms if f'action="{address}"' in form), next(f for f in forms if "once" in f))
    hidden = dict(re.findall(r'type="hidden"\s+name="([\w-]+)"\s+value="([^"]*)"', form))
    response = client.post(address, {**hidden, **sent})
    assert response.status_code == 302, (address, response.status_code)
    return str(response.url)


def main() -> None:
    """Trace the second run, and print every file with its functions and lines."""
    import tempfile

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["SHOP_DATA"] = folder
        import django

        django.setup()
        from django.apps import apps
        from django.conf import settings
        from django.core.management import call_command
        from django.test.utils import setup_test_environment

        # As the tests do: the tables as the models say, which takes a sixth of what all migrations take.
        settings.MIGRATION_MODULES = {app.label: None for app in apps.get_app_configs()}
        call_command("migrate", run_syncdb=True, verbosity=0)
        setup_test_environment()
        flow("first")()
        frame("first")()
        _print(trace(flow("second")), trace(frame("second")))


def _print(seen: Trace, of_every_page: Trace) -> None:
    for file in sorted(seen):
        mark = "frame" if file in of_every_page else ""
        print(f"{len(seen[file]):4} functions {lines_of(file):5} lines  {file} {mark}".rstrip())
    own = seen.keys() - of_every_page.keys()
    for files, words in ((seen.keys(), "in all"), (own, "of the flow itself, the frame of every page apart")):
        functions, lines = sum(len(seen[file]) for file in files), sum(map(lines_of, files))
        print(f"{len(files)} files, {functions} functions, {lines} lines {words}")


if __name__ == "__main__":
    main()

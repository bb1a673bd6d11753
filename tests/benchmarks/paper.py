"""What a job card costs on paper: `python -m tests.benchmarks paper`.

Makes a database of its own with the demo and prints the card of its largest job as a fitter does, by the page's button.
Processor seconds, medians of some runs, all in one run of one process: the whole print, reading the facts and laying
them out; beside them the *limit*, a bare canvas that is given the same strings in the same faces and writes the file.
The first print is that of a process forked from one that has loaded what the server loads and printed nothing.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from secrets import token_urlsafe
from statistics import median
from typing import Any

from tests.benchmarks.apart import run_apart

RUNS = 9
# A page's strings: the face, its size and the text, in the order in which they were written.
Written = list[tuple[str, float, str]]


def run(words: list[str]) -> None:
    """Measure in a process of its own, on a database that is thrown away."""
    sys.exit(run_apart("paper", words, settings="tests.benchmarks.settings"))


def main() -> None:
    import django

    # In a process of its own, for it prints.
    subprocess.run([sys.executable, "manage.py", "demo", "--no-serve"], check=True, stdout=subprocess.DEVNULL)
    django.setup()
    from django.urls import get_resolver

    from shop.base.declared import load_declarations
    from shop.serving.pages import load_pages
    from specs.engine.calculation import calculations

    load_pages(get_resolver())
    load_declarations()
    calculations()
    job = _largest_job()
    first = [_first_print(job) for _ in range(3)]
    told = {"first print in a worker": median(first), **measured(job)}
    limit = told["limit: a bare canvas, the same strings"]
    print(f"job card of {job}, {job.steps.active().count()} steps")
    for name, seconds in told.items():
        print(f"{name:42}{seconds * 1000:8.0f} ms{seconds / limit:8.1f} × limit")


def measured(job: Any) -> dict[str, float]:
    """Seconds of a whole print after the first, of its parts, and of the limit."""
    from django.utils import timezone

    from shop.print.changes import facts_of, lay_out, lay_out_sheet
    from shop.print.facts import freeze
    from shop.print.kinds import sheet_kinds

    card, client, fitter = sheet_kinds()["job-card"], *_fitter()
    given = {"paper": "A4", "system": "metric", "site": "https://shop.example/", "now": timezone.now()}
    laid_out = lay_out_sheet(kind=card, subject=job, person=fitter, **given)
    facts, today = laid_out.sheet.facts, timezone.localdate()
    strings = written_by(lambda: lay_out(card, facts, "A4"))
    return {
        "whole print, by the page": _timed(lambda: _print(client, job)),
        "facts, after somebody wrote elsewhere": _timed(
            lambda: facts_of(card, job, laid_out.heading, "metric", today), before=_write_elsewhere
        ),
        "facts, read anew": _timed(lambda: freeze(card.read(job, laid_out.heading, "metric", today))),
        "layout": _timed(lambda: lay_out(card, facts, "A4")),
        "limit: a bare canvas, the same strings": _timed(lambda: bare(strings)),
    }


def written_by(work: Callable[[], Any]) -> list[Written]:
    """The strings that a piece of work writes on canvases, by page."""
    pages: list[Written] = [[]]
    with _watched(pages):
        work()
    return [page for page in pages if page]


@contextmanager
def _watched(pages: list[Written]) -> Iterator[None]:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.textobject import PDFTextObject

    write, turn = PDFTextObject._formatText, Canvas._startPage

    def noted(self: Any, text: Any) -> str:
        pages[-1].append((self._fontname, self._fontsize, str(text)))
        return write(self, text)

    def turned(self: Any) -> None:
        pages.append([])
        turn(self)

    PDFTextObject._formatText, Canvas._startPage = noted, turned
    try:
        yield
    finally:
        PDFTextObject._formatText, Canvas._startPage = write, turn


def bare(pages: list[Written]) -> bytes:
    """The same strings on as many pages of a bare canvas, as a file."""
    from reportlab.pdfgen.canvas import Canvas

    held = BytesIO()
    canvas = Canvas(held, invariant=1)
    for page in pages:
        for at, (face, size, text) in enumerate(page):
            canvas.setFont(face, size)
            canvas.drawString(60, 800 - at, text)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def _first_print(job: Any) -> float:
    """Seconds of the first print in a process that was forked for it."""
    from django.db import connections

    connections.close_all()
    reads, writes = os.pipe()
    child = os.fork()
    if not child:
        client, _ = _fitter()
        client.get(f"/jobs/{job.pk}/")
        began = time.process_time()
        _print(client, job)
        os.write(writes, str(time.process_time() - began).encode())
        os._exit(0)
    os.waitpid(child, 0)
    os.close(writes)
    with os.fdopen(reads) as told:
        return float(told.read())


def _largest_job() -> Any:
    from django.db.models import Count

    from shop.jobs.models import Job

    return Job.objects.active().annotate(size=Count("steps")).order_by("-size", "pk").first()


def _fitter() -> tuple[Any, Any]:
    from django.contrib.auth.models import User
    from django.test import Client

    client, fitter = Client(), User.objects.get(username="ama")
    client.force_login(fitter)
    return client, fitter


def _print(client: Any, job: Any) -> None:
    # A token of its own each time: a second press of the same form prints nothing.
    response = client.post(f"/print/new/job-card/{job.pk}/", {"paper": "A4", "once": token_urlsafe(24)})
    assert response.status_code == 302, response.content[:500]


def _write_elsewhere() -> None:
    from django.contrib.auth.models import User

    from shop.base.models import SubmittedForm

    SubmittedForm.objects.create(token=token_urlsafe(24), person=User.objects.get(username="wren"), digest="")


def _timed(work: Callable[[], Any], before: Callable[[], None] = lambda: None) -> float:
    """The median of some runs after one that warms up; what is done `before` each is not timed."""
    work()
    taken = []
    for _ in range(RUNS):
        before()
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return median(taken)


if __name__ == "__main__":
    main()

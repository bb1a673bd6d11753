"""What the served site holds of memory: `python -m tests.benchmarks memory [1000 …] [postgres]`.

A workshop of so many orders as it is served, two processes for pages; a folder among the words is a shop that is there
already, on SQLite. Told after the start and after each stage of a
walk (Today; the forecast; a job's card printed; every kind of page), of every process [MB]: what
is resident, its fair share of what it shares with the others (`Pss` of proc(5)), and what nobody shares (`Private`).
"""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.forecast import shops

STAGES = {
    "Today": ("/",),
    "forecast": ("/planning/forecast/",),
    "job": ("/jobs/1/",),
    "card printed": ("print /print/new/job-card/1/",),
    "every kind of page": (
        "/planning/late/",
        "/planning/ready/",
        "/worksheets/",
        "/worksheets/1/",
        "/orders/",
        "/orders/1/",
        "/orders/suppliers/",
        "/orders/suppliers/1/",
        "/jobs/",
        "/jobs/steps/1/",
        "/vehicles/",
        "/vehicles/1/",
        "/measuring/components/",
        "/measuring/components/1/",
        "/measuring/readings/",
        "/measuring/dimensions/1/",
        "/search/?q=plate",
        "/calculate/",
        "/help/",
    ),
}
PROCESSES, AGAIN = 2, 4
FIELDS = ("Rss", "Pss", "Private_Dirty", "Private_Clean", "Pss_Anon")


def run(words: list[str]) -> None:
    """Make the workshop, serve it, walk, and print a line a process and stage."""
    from shop.serving.pages import THREADS
    from tests import load

    for shop, environment in shops(words):
        with load.served(environment, PROCESSES, THREADS) as port:
            people = load.signed_in(port)
            time.sleep(2)
            print(f"{shop}\n{'[MB]':22}{'process':>10}{'resident':>10}{'share':>8}{'its own':>9}")
            print("\n".join(told("started")), flush=True)
            for stage, pages in STAGES.items():
                _walk(port, people, pages)
                print("\n".join(told(stage)), flush=True)


def _walk(port: int, people: list[dict[str, str]], pages: tuple[str, ...]) -> None:
    """Each page as everybody sees it, some times, on connections of their own, so that each process makes it."""
    from tests.load import Browser, Watch

    watch = Watch()
    for _ in range(AGAIN):
        for page in pages:
            verb, _, address = page.rpartition(" ")
            for cookies in people[:1] if verb else people:  # the owner may print
                browser = Browser(port, watch)
                browser.cookies = dict(cookies)
                browser.press(address) if verb else browser.ask("GET", address)
                browser.connection.close()
    assert not watch.errors, watch.errors[:5]


def told(stage: str) -> Iterator[str]:
    """A line a process that this one started: resident, share, its own [MB]."""
    for number in sorted(_below(os.getpid())):
        held = _held(number)
        own = held["Private_Dirty"] + held["Private_Clean"]
        yield f"{stage:22}{_name(number):>10}{held['Rss']:10.1f}{held['Pss']:8.1f}{own:9.1f}"


def _held(number: int) -> dict[str, float]:
    text = Path(f"/proc/{number}/smaps_rollup").read_text()
    return {name: int(kilobytes) / 1024 for name, kilobytes in re.findall(r"^(\w+): +(\d+) kB$", text, re.MULTILINE)}


def _below(number: int) -> set[int]:
    children = set(map(int, Path(f"/proc/{number}/task/{number}/children").read_text().split()))
    return children.union(*(_below(child) for child in children))


def _name(number: int) -> str:
    words = Path(f"/proc/{number}/cmdline").read_bytes().decode().split("\0")
    part = words[words.index("--part") + 1] if "--part" in words else "serve"
    return f"{part} {number}"

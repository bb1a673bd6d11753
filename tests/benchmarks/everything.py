"""Everything that is measured, in turn, and one table of the pages: `python -m tests.benchmarks all [1000 10000 …]`.

On a quiet machine, some twelve minutes. Pages and crowds are measured on SQLite and on PostgreSQL, and kept beside the
code. The table is Markdown; `all table` writes it again from what is kept.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

from tests.benchmarks import crowd, pages

Sizes = dict[str, dict[str, Any]]


def run(words: list[str]) -> int:
    """Measure each subject in a process of its own, then write the table; the worst end of them."""
    sizes = [word for word in words if word.isdigit()]
    subjects = [["pages", "both", *sizes], ["crowd", "both", "keep"], ["memory"], ["paper"], ["keep"]]
    ended = [0] if "table" in words else [_measured(subject) for subject in subjects]
    print("\n".join(table(json.loads(pages.KEPT.read_text()), json.loads(crowd.KEPT.read_text()))))
    return max(ended)


def _measured(words: list[str]) -> int:
    print(f"\n{' '.join(words)}", flush=True)
    return subprocess.run([sys.executable, "-m", "tests.benchmarks", *words]).returncode


def table(of_pages: dict[str, Any], of_crowds: dict[str, Any]) -> Iterator[str]:
    """Write a row a page: ms, multiples and queries at the least size, ms at each, after writes, requests a second."""
    sqlite, postgresql = (of_pages[vendor]["sizes"] for vendor in ("sqlite", "postgresql"))
    least, most = min(sqlite, key=int), max(sqlite, key=int)
    at = " / ".join(f"{int(size):,}" for size in sqlite)
    writes = " / ".join(sqlite[least]["Today"]["ms_written"])
    heads = (
        "page",
        f"ms at {at}",
        "×",
        "× limit",
        "× admin",
        "queries",
        f"after {writes}",
        f"PostgreSQL ms at {at}",
        "×",
        "× limit",
        "× admin",
        "queries",
        f"after {writes}",
        "sent/s, made/s",
        "PostgreSQL sent/s, made/s",
    )
    yield _row(heads)
    yield "|---" * len(heads) + "|"
    for name in sqlite[least]:
        told = [cell for sizes in (sqlite, postgresql) for cell in _cells(sizes, name, least, most)]
        yield _row([name, *told, *(_rates(of_crowds[kind]["pages"].get(name)) for kind in ("sqlite", "postgres"))])


def _cells(sizes: Sizes, name: str, least: str, most: str) -> list[str]:
    one, admin = sizes[least][name], sizes[least]["admin changelist"]["ms"]
    return [
        " / ".join(f"{pages[name]['ms']:.1f}" for pages in sizes.values()),
        f"{sizes[most][name]['ms'] / one['ms']:.2f}",
        f"{one['ms'] / one['limit']:.0f}",
        f"{one['ms'] / admin:.2f}",
        str(one["queries"]),
        " / ".join(f"{ms:.0f}" for ms in one["ms_written"].values()),
    ]


def _rates(rates: dict[str, crowd.Rate] | None) -> str:
    return ", ".join(f"{rate['per second']:.0f} (p99 {rate['p99']:.0f} ms)" for rate in rates.values()) if rates else ""


def _row(cells: list[str] | tuple[str, ...]) -> str:
    return f"| {' | '.join(cells)} |"

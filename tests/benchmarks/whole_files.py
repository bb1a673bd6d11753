"""What the file of a whole list takes of processor time and of memory: read as it is sent, and thrown away.

The most that a process held is the kernel's own count, set back before each file (Linux, proc(5): `clear_refs`, VmHWM).
"""

from __future__ import annotations

import gc
import re
import time
from pathlib import Path
from typing import Any

FILES = {"orders as CSV": "/orders/?as=csv", "readings as CSV": "/measuring/readings/?as=csv"}


def measured_files(client: Any) -> dict[str, dict[str, float]]:
    """Each file: processor time [ms], lines, bytes, and by how much the process grew at most while it was made [MB]."""
    return {name: _measured(client, address) for name, address in FILES.items()}


def written_files(now: dict[str, dict[str, float]]) -> list[str]:
    """Write a line a file."""
    return [
        f"{name:20}{one['lines']:10,} lines {one['ms']:9.0f} ms {one['ms'] / one['lines']:7.3f} ms a line"
        f"{one['bytes'] / 1024:9.0f} KB {one['grown']:7.1f} MB more at most"
        for name, one in now.items()
    ]


def _measured(client: Any, address: str) -> dict[str, float]:
    gc.collect()
    Path("/proc/self/clear_refs").write_text("5")
    held, began = _most_held(), time.process_time()
    response = client.get(address)
    pieces = response.streaming_content if response.streaming else [response.content]
    lines, size = 0, 0
    for piece in pieces:
        lines, size = lines + piece.count(b"\n"), size + len(piece)
    taken = (time.process_time() - began) * 1000
    return {"ms": taken, "lines": lines, "bytes": size, "grown": _most_held() - held}


def _most_held() -> float:
    """The most that this process held of memory since the count was set back [MB]."""
    found = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
    assert found
    return int(found[1]) / 1024

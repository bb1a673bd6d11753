"""Reads a system-call trace into what happened to the files below one folder, in order."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

CALLS = "openat,write,pwrite64,writev,pwritev,ftruncate,fsync,fdatasync,unlink,unlinkat,rename,renameat,renameat2,mkdir"
LONGEST = 1 << 24


@dataclass(frozen=True)
class Event:
    """One thing done to a file: made, written, cut to a length, synced, taken away, renamed to another."""

    verb: str
    name: str
    offset: int = 0
    data: bytes = b""
    other: str = ""


class NotUnderstood(Exception):
    """The trace holds a call on these files that the model of the disk does not know."""


def events(trace: Path, folder: Path) -> Iterator[Event]:
    """Everything done below the folder; a sync counts when it has ended, a write when it begins."""
    begun: dict[str, str] = {}
    with trace.open(encoding="latin-1") as lines:
        for line in lines:
            yield from _in_line(line, begun, folder)


def _in_line(line: str, begun: dict[str, str], folder: Path) -> Iterator[Event]:
    thread, _, call = line.rstrip("\n").partition(" ")
    call = call.strip()
    if call.endswith("<unfinished ...>"):
        words = call.removesuffix("<unfinished ...>").rstrip()
        if words.startswith(("fsync", "fdatasync", "openat")):
            begun[thread] = words
        else:
            yield from _event(words + ") = 0", folder)
    elif resumed := re.match(r"<\.\.\. \w+ resumed>(.*)", call):
        if thread in begun:
            yield from _event(begun.pop(thread) + resumed[1], folder)
    else:
        yield from _event(call, folder)


def _event(call: str, folder: Path) -> Iterator[Event]:
    if " = -1 " in call[-200:]:
        return
    verb, _, words = call.partition("(")
    made = _known(verb, words, call, str(folder))
    if made:
        yield made


def _known(verb: str, words: str, call: str, folder: str) -> Event | None:
    at = re.match(r"\d+<((?:[^>\\]|\\.)*)>(?:\(deleted\))?", words)
    name = _inside(at[1], folder) if at else None
    if verb in ("write", "pwrite64", "writev", "pwritev"):
        return _write(verb, name, words) if name is not None else None
    if verb in ("fsync", "fdatasync"):
        return Event("sync", name) if name is not None else None
    if verb == "ftruncate":
        length = re.search(r">, (\d+)", words)
        return Event("truncate", name, int(length[1])) if name is not None and length else None
    paths = [_inside(_bytes(one).decode(), folder) for one in re.findall(r'"((?:[^"\\]|\\.)*)"', words)]
    if not paths or paths[0] is None:
        return None
    if verb == "openat":
        return Event("make", paths[0], int("O_TRUNC" in words)) if "O_CREAT" in words else None
    if verb in ("unlink", "unlinkat"):
        return Event("unlink", paths[0])
    if verb.startswith("rename"):
        return Event("rename", paths[0], other=paths[1] or "")
    return Event("mkdir", paths[0]) if verb == "mkdir" else None


def _write(verb: str, name: str, words: str) -> Event:
    if verb in ("writev", "pwritev"):
        raise NotUnderstood(f"{verb} to {name}")
    text = re.search(r'>(?:\(deleted\))?, "((?:[^"\\]|\\.)*)"(\.\.\.)?, (\d+)(?:, (\d+))?', words)
    if not text or text[2]:
        raise NotUnderstood(f"a write to {name} that the trace cut short")
    return Event("write", name, int(text[4]) if verb == "pwrite64" else -1, _bytes(text[1]))


def _inside(path: str, folder: str) -> str | None:
    """The name below the folder, empty for the folder itself, None for what lies elsewhere."""
    path = _bytes(path).decode(errors="replace") if "\\x" in path else path
    if path == folder:
        return ""
    return path[len(folder) + 1 :] if path.startswith(f"{folder}/") else None


def _bytes(text: str) -> bytes:
    """What strace -xx wrote as \\x41\\x42."""
    if text.startswith("\\x"):
        return bytes.fromhex(text.replace("\\x", ""))
    return text.encode("latin-1")

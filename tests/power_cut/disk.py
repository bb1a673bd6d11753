"""A disk that keeps what was synced, and of the rest whatever it likes.

Names are kept by a sync of their folder (POSIX promises no more); until then a new file may be gone, a deleted one be
back. Changes of names keep their order, as a file system's journal does; writes to files do not.
"""

import random
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from tests.power_cut.trace import Event

SECTOR = 512
Change = tuple[str, int, bytes]  # what, where, bytes


@dataclass
class Inode:
    """A file without its name: what is on the disk for sure, and the changes since."""

    durable: bytearray = field(default_factory=bytearray)
    pending: list[Change] = field(default_factory=list)
    length: int = 0

    def sync(self) -> None:
        for change in self.pending:
            apply(self.durable, change)
        self.pending.clear()

    def after_a_cut(self, chance: random.Random) -> bytes:
        """One of the contents that the disk may hold: all, none, some, torn or in another order."""
        content, changes = bytearray(self.durable), list(self.pending)
        how = chance.choice(["all", "none", "some", "some", "torn", "torn", "reordered"])
        if how == "none":
            return bytes(content)
        if how in ("some", "reordered"):
            changes = [one for one in changes if chance.random() < 0.5]
        if how == "reordered":
            chance.shuffle(changes)
        for change in changes:
            for part in torn(change, chance) if how == "torn" else [change]:
                apply(content, part)
        return bytes(content)


def apply(content: bytearray, change: Change) -> None:
    what, at, data = change
    if what == "truncate":
        if at < len(content):
            del content[at:]
        else:
            content.extend(bytes(at - len(content)))
        return
    if len(content) < at:
        content.extend(bytes(at - len(content)))
    content[at : at + len(data)] = data


def torn(change: Change, chance: random.Random) -> list[Change]:
    """Those sectors of a write that reached the disk."""
    what, at, data = change
    if what != "write":
        return [change] if chance.random() < 0.5 else []
    edges = [0, *range(SECTOR - at % SECTOR, len(data), SECTOR), len(data)]
    return [("write", at + a, data[a:b]) for a, b in zip(edges, edges[1:], strict=False) if chance.random() < 0.6]


class Disk:
    """The files of a folder, as programs see them and as the disk keeps them."""

    def __init__(self, folder: Path) -> None:
        """Begin with what lies in the folder, all of it synced."""
        there = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
        self.seen = {
            name: Inode(bytearray(path.read_bytes()), length=path.stat().st_size) for name, path in there.items()
        }
        self.kept = dict(self.seen)
        self.names: list[tuple[str, Event, Inode | None]] = []

    def take(self, event: Event) -> None:
        getattr(self, f"_{event.verb}")(event)

    def _make(self, event: Event) -> None:
        if event.name not in self.seen:
            self.seen[event.name] = Inode()
            self._rename_later(event, self.seen[event.name])
        elif event.offset:
            self._truncate(Event("truncate", event.name, 0))

    def _mkdir(self, event: Event) -> None:
        """A folder without its entry is lost with all below; a sync of the folder above keeps it."""

    def _write(self, event: Event) -> None:
        inode = self.seen[event.name]
        at = inode.length if event.offset < 0 else event.offset
        inode.pending.append(("write", at, event.data))
        inode.length = max(inode.length, at + len(event.data))

    def _truncate(self, event: Event) -> None:
        self.seen[event.name].pending.append(("truncate", event.offset, b""))
        self.seen[event.name].length = event.offset

    def _sync(self, event: Event) -> None:
        if event.name in self.seen:
            self.seen[event.name].sync()
            return
        mine = [one for one in self.names if str(PurePosixPath(one[0]).parent).replace(".", "") == event.name]
        for one in mine:
            enter(self.kept, one)
        self.names = [one for one in self.names if one not in mine]

    def _unlink(self, event: Event) -> None:
        if self.seen.pop(event.name, None) is not None:
            self._rename_later(event, None)

    def _rename(self, event: Event) -> None:
        self.seen[event.other] = self.seen.pop(event.name)
        self._rename_later(event, self.seen[event.other])

    def _rename_later(self, event: Event, inode: Inode | None) -> None:
        self.names.append((event.name, event, inode))

    def after_a_cut(self, chance: random.Random) -> dict[str, bytes]:
        """What the disk holds when the power comes back: each name with its content."""
        kept = dict(self.kept)
        for one in self.names[: chance.randint(0, len(self.names))]:
            enter(kept, one)
        return {name: inode.after_a_cut(chance) for name, inode in kept.items()}


def enter(kept: dict[str, Inode], change: tuple[str, Event, Inode | None]) -> None:
    """Carry out one change of names."""
    name, event, inode = change
    if event.verb == "unlink":
        kept.pop(name, None)
    elif event.verb == "rename" and inode is not None:
        kept.pop(name, None)
        kept[event.other] = inode
    elif inode is not None:
        kept[name] = inode

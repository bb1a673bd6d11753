"""What people did and were answered, as each of them wrote it down."""

from collections import Counter
from dataclasses import dataclass, field

FILE_ROWS = ("clutch plate", "release bearing")
"""The parts of every order of a file."""
HEADING = "supplier,reference,ordered_on,part,quantity,price"


def notes_of(mark: str) -> str:
    """Notes long enough to be torn."""
    return " ".join([mark] * 60)


@dataclass(frozen=True)
class Act:
    """One press of a button on a customer's record, from sending it [s] to its answer; `mark` is what it wrote."""

    what: str
    record: int
    person: int
    mark: str
    began: float
    ended: float
    kept: bool


@dataclass(frozen=True)
class File:
    """A file of past orders of one supplier, two lines an order."""

    supplier: str
    orders: int

    @property
    def references(self) -> list[str]:
        return [f"R{number:05}" for number in range(self.orders)]

    def text(self) -> str:
        rows = [f"{self.supplier},{one},2025-03-14,{part},2,10.50" for one in self.references for part in FILE_ROWS]
        return "\n".join([HEADING, *rows])


@dataclass
class Ledger:
    """Everything that was done; appended to by many threads."""

    acts: list[Act] = field(default_factory=list)
    files: list[File] = field(default_factory=list)
    written: list[tuple[str, int]] = field(default_factory=list)
    """By supplier: how many orders one person was told that their press brought in."""
    answers: Counter[int] = field(default_factory=Counter)
    waits: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    """What nobody should have been answered."""

    def count(self, what: str, *, kept: bool) -> int:
        return sum(act.what == what and act.kept == kept for act in self.acts)

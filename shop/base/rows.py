"""One row a thing: what pages show of work, parts, checks, readings, sign-offs."""

from dataclasses import dataclass
from typing import Any

from shop.base.language import gettext_lazy

# The mark is a drawing line; the word is for those who do not see it.
MARKS = {
    "ready": gettext_lazy("Ready"),
    "waiting": gettext_lazy("Waiting"),
    "done": gettext_lazy("Done"),
    "late": gettext_lazy("Late"),
    "fails": gettext_lazy("Fails"),
    "check": gettext_lazy("Check"),
}


@dataclass(frozen=True)
class Row:
    """A thing's mark (one of MARKS; "" where no state is told), its name with its address, and at most one of each:

    `note`, a quiet line; `figure` with a small word `under` it, `red` where it is late or wrong; an act, which is the
    word on a button, leading `to` a page or sent by POST to an address. `first` marks the act that a phone shows too.
    `said`: what the mark says to who does not see it, where that is not the mark's own word.
    """

    mark: str
    name: Any
    address: str = ""
    note: str = ""
    figure: str = ""
    under: str = ""
    red: bool = False
    act: str = ""
    to: str = ""
    post: str = ""
    first: bool = False
    said: str = ""

    @property
    def mark_words(self) -> str:
        return self.said or MARKS[self.mark]

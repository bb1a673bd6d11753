"""How a process that runs for weeks asks the system for memory."""

import ctypes
import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager

# Parameters of mallopt(3), as the GNU C library numbers them in malloc.h.
TRIM_THRESHOLD, MMAP_THRESHOLD, ARENA_MAX = -1, -3, -8
LARGE = 64 * 1024
"""Bytes; the columns of a forecast are larger, records and words are smaller."""
ARENAS = 2
"""Each thread would get one of its own, and hold what the largest page it ever made took."""


def give_back_what_is_free() -> None:
    """Have what a forecast or a sheet took go back to the system when it is done: otherwise a worker keeps it, 20 MB.

    Where the C library is another one, nothing is changed.
    """
    if sys.platform != "linux" or not hasattr(library := ctypes.CDLL(None), "mallopt"):
        return
    for parameter, value in ((ARENA_MAX, ARENAS), (MMAP_THRESHOLD, LARGE), (TRIM_THRESHOLD, LARGE)):
        library.mallopt(parameter, value)
    library.malloc_trim(0)


RINGS = 10_000, 10, 10
"""Objects made, and rounds, after which Python looks for rings that nobody holds any more: by its own 700, 10 and 10 it
goes through all that is kept between requests several times a page, which takes longer than the page."""


MUCH = 2
"""So many hundred thousand objects that stand after a page was begun: a list of years for a file, a first look at all
jobs. What of them hangs together in rings would be held until Python looks through everything, for days."""


@contextmanager
def rings_let_go_of() -> Iterator[None]:
    """After a piece of work that made very much, look for its rings and give back what they took."""
    began = gc.get_count()[2]
    yield
    if gc.get_count()[2] - began >= MUCH:
        gc.collect()
        give_back_what_is_free()


def take_what_is_loaded_for_lasting() -> None:
    """Have Python look for rings among what came since, and less often."""
    gc.collect()
    # Looked through for that, it would be copied into each process.
    gc.freeze()
    gc.set_threshold(*RINGS)

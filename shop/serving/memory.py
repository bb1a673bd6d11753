"""How a process that runs for weeks asks the system for memory."""

import ctypes
import gc
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

# Parameters of mallopt(3), as the GNU C library numbers them in malloc.h.
TRIM_THRESHOLD, MMAP_THRESHOLD, ARENA_MAX = -1, -3, -8
LARGE = 64 * 1024
"""Bytes; the columns of a forecast are larger, records and words are smaller."""
ARENAS = 1
"""Each thread would get one of its own, and hold what the largest page it ever made took. Python runs one thread at a
time, so that none waits for another's; and all fill the room that reading the program left."""


def give_back_what_is_free() -> None:
    """Have what a forecast or a sheet took go back to the system when it is done: otherwise a worker keeps it, 20 MB.

    Where the C library is another one, nothing is changed.
    """
    if sys.platform != "linux" or not hasattr(library := ctypes.CDLL(None), "mallopt"):
        return
    for parameter, value in ((ARENA_MAX, ARENAS), (MMAP_THRESHOLD, LARGE), (TRIM_THRESHOLD, LARGE)):
        library.mallopt(parameter, value)
    library.malloc_trim(0)


def compute_in_one_thread() -> None:
    """Have numpy, when a page first needs it, begin no thread a core of its own: each process has a core already."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


RINGS = 10_000, 10, 10
"""Objects made, and rounds, after which Python looks for rings that nobody holds any more: by its own 700, 10 and 10 it
goes through all that is kept between requests several times a page, which takes longer than the page."""


MUCH = 2
"""So many hundred thousand objects that stand after a page was begun: a list of years for a file, a first look at all
jobs. What of them hangs together in rings would be held until Python looks through everything, for days."""


LONG = 0.2
"""Seconds of work after which a page left rings and room between what is kept of it: 4 MB after a first Today."""


@contextmanager
def rings_let_go_of() -> Iterator[None]:
    """After a piece of work that made very much or took long, look for its rings and give back what they took."""
    began, worked = gc.get_count()[2], time.thread_time()
    yield
    if gc.get_count()[2] - began >= MUCH or time.thread_time() - worked >= LONG:
        gc.collect()
        give_back_what_is_free()


def take_what_is_loaded_for_lasting() -> None:
    """Have Python look for rings among what came since, and less often."""
    gc.collect()
    # Looked through for that, it would be copied into each process.
    gc.freeze()
    gc.set_threshold(*RINGS)

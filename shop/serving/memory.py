"""How a process that runs for weeks asks the system for memory."""

import ctypes
import gc
import sys

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


RINGS = 10_000, 10, 50
"""Objects made, and rounds, after which Python looks for rings that nobody holds any more: by its own 700, 10 and 10 it
goes through all that is kept between requests several times a page, which takes longer than the page."""


def take_what_is_loaded_for_lasting() -> None:
    """Have Python look for rings among what came since, and less often."""
    gc.collect()
    # Looked through for that, it would be copied into each process.
    gc.freeze()
    gc.set_threshold(*RINGS)

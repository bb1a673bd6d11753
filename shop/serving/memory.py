"""How a process that runs for weeks asks the system for memory."""

import ctypes
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

"""A worker that made one large forecast does not hold what it took for ever."""

import os
import subprocess
import sys

import pytest

HELD = """
from shop.serving.memory import give_back_what_is_free

def held():
    with open("/proc/self/statm") as told:
        return int(told.read().split()[1]) * 4096 / 2**20

{asked}
small, large = [], []
for _ in range(40):
    large.append(bytearray(2**20))
    small.append(bytes(2000))
for piece in large:
    piece[::4096] = b"x" * len(piece[::4096])
most = held()
del piece, large
print(most - held())
"""
# What the C library keeps by itself depends on what lies between the pieces; told to keep all, it does.
KEEPING = {"MALLOC_MMAP_THRESHOLD_": str(2**25), "MALLOC_TRIM_THRESHOLD_": str(2**30)}


def given_back(asked: str) -> float:
    """Megabytes, of forty that were taken and freed by a process whose C library was told to keep what is free."""
    told = subprocess.run(
        [sys.executable, "-c", HELD.format(asked=asked)],
        env=os.environ | KEEPING,
        capture_output=True,
        text=True,
        check=True,
    )
    return float(told.stdout)


@pytest.mark.skipif(sys.platform != "linux", reason="as the GNU C library has it")
def test_what_a_large_piece_of_work_took_goes_back_to_the_system():
    assert given_back("") < 20
    assert given_back("give_back_what_is_free()") > 35

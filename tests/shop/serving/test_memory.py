"""A worker that made one large forecast does not hold what it took for ever."""

import subprocess
import sys

import pytest

HELD = """
from shop.serving.memory import give_back_what_is_free

def held():
    with open("/proc/self/statm") as told:
        return int(told.read().split()[1]) * 4096 / 2**20

{asked}
for _ in range(2):  # the C library learns from the first what to keep for the second
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


def given_back(asked: str) -> float:
    """Megabytes, of forty that were taken and freed."""
    told = subprocess.run([sys.executable, "-c", HELD.format(asked=asked)], capture_output=True, text=True, check=True)
    return float(told.stdout)


@pytest.mark.skipif(sys.platform != "linux", reason="as the GNU C library has it")
def test_what_a_large_piece_of_work_took_goes_back_to_the_system():
    assert given_back("") < 20
    assert given_back("give_back_what_is_free()") > 35

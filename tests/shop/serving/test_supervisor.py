"""Three kinds of crash are survived: a fault, a kill, and silence past the limit. SIGTERM ends all."""

import os
import signal
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from shop.serving.supervisor import LIVED_WELL, Kept

ROOT = Path(__file__).parent.parent.parent.parent
PATIENCE = 60


def script(folder: Path, body: str) -> list[str]:
    """A child that notes each of its lives in a file, then does as told; its pipe is its last argument."""
    file = folder / "child.py"
    file.write_text(
        textwrap.dedent(f"""
            import os, sys, time, signal
            lives = open({str(folder / "lives")!r}, "a+"); lives.write(f"{{os.getpid()}}\\n"); lives.flush()
            lives.seek(0); life = len(lives.readlines())
            say = lambda seconds: os.write(int(sys.argv[-1]), f"{{seconds}}\\n".encode())
        """)
        + textwrap.dedent(body)
    )
    return [sys.executable, str(file)]


def lives(folder: Path) -> list[int]:
    file = folder / "lives"
    return [int(line) for line in file.read_text().splitlines()] if file.exists() else []


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < end, "it did not happen"
        time.sleep(0.05)


@pytest.fixture
def supervise(tmp_path: Path) -> Iterator[Callable[..., subprocess.Popen[str]]]:
    """Supervise a child in a process of its own, as `serve` does."""
    begun: list[subprocess.Popen[str]] = []

    def begin(body: str, *, beats: bool = True, needed: bool = False) -> subprocess.Popen[str]:
        code = (
            "from shop.serving.supervisor import Kept, Supervisor; import sys; "
            f"kept = Kept('child', {script(tmp_path, body)!r}, beats={beats}, needed={needed}); "
            "sys.exit(Supervisor([kept], 2).run())"
        )
        begun.append(subprocess.Popen([sys.executable, "-c", code], cwd=ROOT, text=True))
        return begun[-1]

    yield begin
    for process in begun:
        process.kill()
        process.wait()
    for life in lives(tmp_path):
        with suppress(ProcessLookupError):
            os.kill(life, signal.SIGKILL)


def test_a_child_that_ends_by_a_fault_is_begun_again(supervise: Callable[..., object], tmp_path: Path) -> None:
    supervise("say(60)\nif life == 1: raise RuntimeError('broken')\ntime.sleep(60)")
    until(lambda: len(lives(tmp_path)) == 2)


def test_a_child_that_is_killed_is_begun_again(supervise: Callable[..., object], tmp_path: Path) -> None:
    supervise("say(60)\ntime.sleep(60)")
    until(lambda: len(lives(tmp_path)) == 1)
    os.kill(lives(tmp_path)[0], signal.SIGKILL)
    until(lambda: len(lives(tmp_path)) == 2)


def test_a_child_that_hangs_past_its_limit_is_ended_and_begun_again(
    supervise: Callable[..., object], tmp_path: Path
) -> None:
    # Deaf to a friendly word as well, as one is that waits in the system for a disk.
    supervise("signal.signal(signal.SIGTERM, signal.SIG_IGN)\nsay(1 if life == 1 else 60)\ntime.sleep(600)")
    until(lambda: len(lives(tmp_path)) == 2)
    with pytest.raises(ProcessLookupError):
        os.kill(lives(tmp_path)[0], 0)


def test_a_child_that_keeps_its_word_is_left_alone(supervise: Callable[..., object], tmp_path: Path) -> None:
    # As long silent as it may be, together, but never at once; a busy machine may hold each word up by seconds.
    supervise("for _ in range(30):\n    say(5)\n    time.sleep(0.2)\nsay(60)\ntime.sleep(60)")
    time.sleep(6.5)
    assert len(lives(tmp_path)) == 1


def test_told_to_stop_it_lets_the_child_finish(supervise: Callable[..., object], tmp_path: Path) -> None:
    done = tmp_path / "done"
    process = supervise(
        f"def end(*_):\n    time.sleep(0.5); open({str(done)!r}, 'w'); sys.exit()\n"
        f"signal.signal(signal.SIGTERM, end)\nsay(60)\nopen({str(tmp_path / 'ready')!r}, 'w').close()\ntime.sleep(60)"
    )
    assert isinstance(process, subprocess.Popen)
    until((tmp_path / "ready").exists)
    process.terminate()
    assert process.wait(PATIENCE) == 0
    assert done.exists()


def test_what_cannot_live_at_all_is_told_to_whoever_started_it(tmp_path: Path) -> None:
    kept = Kept("pages", [], needed=True)
    waits = []
    for _ in range(5):
        kept.bury(now=kept.began + 1)
        waits.append(kept.wait)
    assert kept.short_lives == 5
    assert waits == [2, 4, 8, 16, 32]
    kept.bury(now=kept.began + LIVED_WELL)
    assert (kept.short_lives, kept.wait) == (0, 1)

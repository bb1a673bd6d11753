"""Keeps processes running: begins each again when it dies or hangs, and ends all of them when told to stop."""

import ctypes
import json
import logging
import logging.config
import os
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

FIRST_WAIT, LONGEST_WAIT = 1.0, 60.0
LIVED_WELL = 60.0
STARTS_WITHIN = 120.0
"""Seconds until a process that says that it lives must have said so for the first time."""
SHORT_LIVES = 5
PARENT_DEATH_SIGNAL = 1  # PR_SET_PDEATHSIG of prctl(2)
log = logging.getLogger("shop.serve")


@dataclass
class Kept:
    """A process that is to run.

    beats: it says on a pipe within how many seconds its next word comes. needed: where it cannot live, nothing can, and
    the supervisor gives up, so that whoever started it sees that.
    """

    name: str
    command: list[str]
    beats: bool = False
    needed: bool = False
    process: subprocess.Popen[bytes] | None = None
    pipe: int = -1
    began: float = 0.0
    silent_until: float = 0.0
    starts_at: float = 0.0
    wait: float = FIRST_WAIT
    short_lives: int = 0

    def start(self, now: float) -> None:
        command, passed = list(self.command), tuple[int, ...]()
        if self.beats:
            self.pipe, theirs = os.pipe()
            os.set_blocking(self.pipe, False)
            command, passed = [*command, str(theirs)], (theirs,)
        self.process = subprocess.Popen(command, pass_fds=passed)
        self.began, self.silent_until = now, now + STARTS_WITHIN
        for each in passed:
            os.close(each)

    def listen(self, now: float) -> None:
        """Hear how long it may be silent from now on."""
        try:
            said = os.read(self.pipe, 4096).split()
        except BlockingIOError:
            return
        if said:
            self.silent_until = now + float(said[-1])

    def bury(self, now: float) -> None:
        """Take note of an end, and when to begin again: later and later, unless it had lived well."""
        lived = now - self.began
        self.wait = FIRST_WAIT if lived >= LIVED_WELL else min(self.wait * 2, LONGEST_WAIT)
        self.short_lives = 0 if lived >= LIVED_WELL else self.short_lives + 1
        self.starts_at = now + self.wait
        self.process = None
        if self.pipe >= 0:
            os.close(self.pipe)
            self.pipe = -1


@dataclass
class Supervisor:
    """Runs what it is given until SIGTERM or SIGINT; `drains_within` seconds are left to each to end by itself."""

    kept: list[Kept]
    drains_within: float
    stopping: bool = False
    poll: float = 0.25

    def run(self) -> int:
        """0 when told to stop; 1 when a needed process does not stay up."""
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, self._stop)
        while not self.stopping:
            if any(each.needed and each.short_lives >= SHORT_LIVES for each in self.kept):
                self._end_all()
                return 1
            for each in self.kept:
                self._look_after(each, time.monotonic())
            time.sleep(self.poll)
        self._end_all()
        return 0

    def _stop(self, *_: object) -> None:
        self.stopping = True

    def _look_after(self, each: Kept, now: float) -> None:
        if each.process is None:
            if now >= each.starts_at:
                each.start(now)
            return
        ended = each.process.poll()
        if ended is not None:
            _tell(each, f"ended with {ended}" if ended >= 0 else f"was ended by {signal.Signals(-ended).name}")
            each.bury(now)
        elif each.beats:
            each.listen(now)
            if now > each.silent_until:
                _tell(each, "hangs past its limit and is ended")
                each.process.kill()

    def _end_all(self) -> None:
        living = [each.process for each in self.kept if each.process]
        for process in living:
            process.terminate()
        until = time.monotonic() + self.drains_within
        for process in living:
            try:
                process.wait(max(0.0, until - time.monotonic()))
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


_ROOT = str(Path(__file__).resolve().parent.parent.parent)
_PROGRAM = (
    "import sys; sys.path.insert(0, sys.argv[1]); from shop.serving import supervisor; supervisor.watch(sys.argv[2])"
)


def become_supervisor(kept: list[Kept], drains_within: float) -> NoReturn:
    """Let this process watch these from now on, and let go of all else that it holds: what looked over the site at the
    start is 60 MB."""
    for stream in (sys.stdout, sys.stderr):
        stream.flush()
    told = json.dumps([drains_within, [(each.name, each.command, each.beats, each.needed) for each in kept]])
    os.execv(sys.executable, [sys.executable, "-c", _PROGRAM, _ROOT, told])


def watch(told: str) -> NoReturn:
    """Supervise what `become_supervisor` told, in a process that read nothing of the site."""
    from shop.serving.request_log import logging_of

    logging.config.dictConfig(logging_of(json_lines=True))
    drains_within, kept = json.loads(told)
    sys.exit(Supervisor([Kept(*each) for each in kept], drains_within).run())


def end_with_parent() -> None:
    """Have the system end this process when the supervisor ends, even by a kill: two sites on one port help nobody."""
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(PARENT_DEATH_SIGNAL, signal.SIGTERM)


def _tell(each: Kept, words: str) -> None:
    log.error(words, extra={"facts": {"process": each.name, "words": words}})

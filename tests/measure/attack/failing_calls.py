"""System calls on the log that fail or take long (strace) under a tool at the bench: nothing ends it.

Each press is in the journal in the end, wherever that went on; and while it is not, the screen says so.
"""

from __future__ import annotations

import signal
import subprocess
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.journal.merge import merge
from darkroom.log.journal.read import read_file
from tests.kit.journals import missing, program
from tests.kit.photographer import Photographer, shortened
from tests.measure.attack.attempts import Attempts

ERRORS = ("ENOSPC", "EIO", "EROFS", "EDQUOT")
CALLS = ("write", "fsync")
"""Calls made for every press, on the plate's journal or its folder."""
FAULTS = (
    *(f"{call}:error={error}:when=3+" for call in CALLS for error in ERRORS),
    *(f"openat:error={error}:when=1+" for error in ERRORS),
    *(f"{call}:error={error}:when=2..4" for call in ("write", "fsync") for error in ERRORS),
    "write:error=EINTR:when=2..3", "fsync:error=EINTR:when=2..3", "write:retval=17:when=2..3",
    "write:delay_enter=3s:when=3+2", "fsync:delay_enter=3s:when=3+2",
)  # fmt: skip
ANYWHERE = ("openat",)
"""Calls that fail on every file: a journal is opened before its first press."""
SHORT = ("write:error=ENOSPC:when=2..4", "fsync:error=EIO:when=3+", "fsync:delay_enter=3s:when=3+2")
MARKS = 4
AT_ONCE = 3
PATIENCE = 60.0


def attack(short: bool) -> Attempts:
    """Let calls below the plates' folder fail in every way, a tool at the bench for each."""
    attempts = Attempts()
    if (reason := missing("strace")) is not None:
        return attempts.leave_out(reason)
    faults = SHORT if short else FAULTS
    counts = [Attempts() for _ in faults]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        list(pool.map(_fault, counts, faults))
    for counted in counts:
        attempts.many(counted.tried, counted.failures)
    return attempts


def _fault(attempts: Attempts, fault: str) -> None:
    """Work a plate whose journal fails so; count what is kept."""
    with tempfile.TemporaryDirectory() as name:
        try:
            _work(attempts, fault, Path(name))
        except (AssertionError, OSError, TimeoutError) as error:
            attempts.expect(False, f"{fault}: {error}")


def _work(attempts: Attempts, fault: str, folder: Path) -> None:
    places = {name: folder / name for name in ("home", "state", "tmp")}
    for place in places.values():
        place.mkdir(mode=0o700)
    hand = Photographer(
        places["home"], 100, 24, XDG_STATE_HOME=str(places["state"]), TMPDIR=str(places["tmp"])
    )
    with hand.terminal as terminal:
        hand.open("bench", str(shortened(folder)))
        hand.strike("sensitise")
        assert terminal.process is not None
        tool = terminal.process
        (journal,) = places["home"].glob("plates/*/*/*.jsonl")
        calls = fault.partition(":")[0]
        paths = () if calls in ANYWHERE else (journal, journal.parent)
        watched = [word for path in paths for word in ("-P", str(path))]
        may_wait = "delay" not in fault  # a slow call is waited for, so that strace sees it end
        faulty = subprocess.Popen(
            [program("strace"), "-f", "-qq", "-o", str(folder / "trace"), "-p", str(tool.pid), *watched,
             "-e", f"trace={calls}", "-e", f"inject={fault}"],
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            terminal.wait_until(lambda: is_traced(tool.pid), PATIENCE)
            for number in range(1, MARKS + 1):
                hand.press("6")
                terminal.wait_until(partial(is_answered, hand, folder, number, may_wait), PATIENCE)
                hand.last = time.monotonic()  # a key that was read late is nearer to the next
        finally:
            faulty.send_signal(signal.SIGINT)
            faulty.wait(PATIENCE)
        trace = (folder / "trace").read_text()
        met = trace.count("(INJECTED)") + trace.count("(DELAYED)")
        assert met > 0, "no call failed"  # nothing was tried
        terminal.wait_until(lambda: marks_of(folder) == MARKS or tool.poll() is not None, PATIENCE)
        attempts.expect(marks_of(folder) == MARKS, f"{fault}: {marks_of(folder)} of {MARKS} presses kept")
        attempts.expect(tool.poll() is None, f"{fault}: the tool has ended with {tool.poll()}")


def is_traced(pid: int) -> bool:
    """Return whether every thread of a process is under strace."""
    statuses = [path.read_text() for path in Path(f"/proc/{pid}/task").glob("*/status")]
    return all("TracerPid:\t0\n" not in status for status in statuses)


def is_answered(hand: Photographer, folder: Path, number: int, may_wait: bool) -> bool:
    """Return whether so many marks are kept, or, where one may wait, the screen says that it does."""
    return marks_of(folder) >= number or (may_wait and _says(hand.terminal.screen()))


def _says(screen: str) -> bool:
    """Return whether the screen says that a line waits for the disk."""
    return "not saved" in screen


def marks_of(folder: Path) -> int:
    """Return how many marks the plate's files have, wherever they went on."""
    files = sorted(path for path in folder.rglob("????????-??????-??????*.jsonl"))
    if not files:
        return 0
    log = merge(files[0].name.partition(".")[0], [read_file(path) for path in files])
    return sum(isinstance(event, ev.Mark) for event in log.events)

"""System calls on names, locks and lengths that fail (strace) while a plate begins, and while one comes back.

Nothing ends the tool; each press is in a file of its plate in the end, and until then the screen says so.
"""

from __future__ import annotations

import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from tests.kit.day import TITLE
from tests.kit.journals import missing, program
from tests.kit.photographer import ARGV, Photographer, shortened
from tests.measure.attack.attempts import Attempts
from tests.measure.attack.failing_calls import PATIENCE, is_answered, is_traced, marks_of

RENAMES = "rename,renameat,renameat2"
UNLINKS = "unlink,unlinkat"
MKDIRS = "mkdir,mkdirat"
BEGINS = (
    *(f"{RENAMES}:error={error}" for error in ("EIO", "ENOSPC", "EACCES")),
    f"{RENAMES},{UNLINKS}:error=EIO",
    *(f"{MKDIRS}:error={error}" for error in ("EIO", "ENOSPC", "EROFS")),
    *(f"flock:error={error}" for error in ("EIO", "ENOLCK", "EAGAIN")),
    f"{MKDIRS}:error=EINTR:when=1..3",
    f"{RENAMES}:delay_enter=3s", "flock:delay_enter=1s", f"{MKDIRS}:delay_enter=2s",
)  # fmt: skip
"""While a plate begins: its folders, its journal, the day's sheet, `bench.json`, `changed`."""
RETURNS = (
    *(f"ftruncate:error={error}" for error in ("EIO", "EROFS")),
    "ftruncate:error=ENOSPC:when=1..4", "ftruncate:error=EINTR:when=1..3",
    "close:error=EIO", "close:error=EINTR",
    *(f"flock:error={error}" for error in ("EIO", "ENOLCK")),
    f"{RENAMES}:error=EIO", "ftruncate:delay_enter=2s",
)  # fmt: skip
"""While a plate comes back whose last line is torn, beside a file `changed` that is full."""
SHORT = (f"{RENAMES},{UNLINKS}:error=EIO",), ("ftruncate:error=EIO",)
MARKS = 3
FULL = 1 << 20
"""Bytes of the file `changed` after which it is begun anew."""
Part = Callable[[Attempts, Path, str], None]


def attack(short: bool) -> Attempts:
    """Let the calls fail in each way, a tool for each."""
    attempts = Attempts()
    if (reason := missing("strace")) is not None:
        return attempts.leave_out(reason)
    begins, returns = SHORT if short else (BEGINS, RETURNS)
    parts = [
        *(partial(_counted, _begin, fault) for fault in begins),
        *(partial(_counted, _return, fault) for fault in returns),
    ]
    attempts.side_by_side(parts, 3)
    return attempts


def _counted(part: Part, fault: str, attempts: Attempts) -> None:
    """Do one part in a folder of its own; what it cannot go on after has failed."""
    with tempfile.TemporaryDirectory() as folder:
        try:
            part(attempts, Path(folder), fault)
        except (AssertionError, OSError, TimeoutError) as error:
            attempts.expect(False, f"{fault}: {str(error)[:200]} … {str(error)[-120:]}")


def _hand(folder: Path) -> Photographer:
    places = {name: folder / name for name in ("home", "state", "tmp")}
    for place in places.values():
        place.mkdir(mode=0o700, exist_ok=True)
    return Photographer(
        places["home"], 100, 24, XDG_STATE_HOME=str(places["state"]), TMPDIR=str(places["tmp"])
    )


def _begin(attempts: Attempts, folder: Path, fault: str) -> None:
    """Begin the first plate of a log while calls fail, and press mark."""
    hand = _hand(folder)
    with hand.terminal as terminal:
        terminal.spawn([*hand.program, "bench", str(shortened(folder))])
        hand.wait(TITLE)
        assert terminal.process is not None
        with _failing(hand, folder, fault):
            hand.go_through_sheet()
            hand.press("space")
            hand.wait("red next")
            _press_marks(hand, folder, fault, 0)
            terminal.wait_until(lambda: _is_met(folder), PATIENCE)
        _check(attempts, hand, folder, fault, MARKS)


def _return(attempts: Attempts, folder: Path, fault: str) -> None:
    """Kill the tool, tear the plate's last line, start it again while calls fail, and press mark."""
    hand = _hand(folder)
    with hand.terminal as terminal:
        hand.open("bench", str(shortened(folder)))
        hand.strike("sensitise")
        for _ in range(MARKS):
            hand.press("6")
        terminal.wait_until(lambda: marks_of(folder) == MARKS)
        terminal.kill(signal.SIGKILL)
    (journal,) = hand.home.glob("plates/*/*/*.jsonl")
    with journal.open("ab") as file:
        file.write(b'{"n":99,"event":"mark","a')
    (hand.home / "changed").write_bytes(b"plates/none.jsonl\n" * (FULL // 17))
    hand = _hand(folder)
    paths = (journal, hand.home / "changed", hand.home / "bench.lock") if fault.startswith("close") else ()
    watched = [word for path in paths for word in ("-P", str(path))]
    hand.program = [
        program("strace"), "-f", "-qq", "--seccomp-bpf", "-o", str(folder / "trace"), *watched,
        *_inject(fault), *ARGV,
    ]  # fmt: skip
    with hand.terminal:
        hand.open()
        hand.wait("back", PATIENCE)
        _press_marks(hand, folder, fault, MARKS)
        _check(attempts, hand, folder, fault, 2 * MARKS)


def _press_marks(hand: Photographer, folder: Path, fault: str, before: int) -> None:
    """Press mark; each is kept, or said to wait, before the next."""
    may_wait = "delay" not in fault
    for number in range(before + 1, before + MARKS + 1):
        hand.press("6")
        hand.terminal.wait_until(partial(is_answered, hand, folder, number, may_wait), PATIENCE)


def _check(attempts: Attempts, hand: Photographer, folder: Path, fault: str, marks: int) -> None:
    """Count what is kept, whether the tool goes on, and what it says in the end."""
    assert _is_met(folder), "no call failed"  # nothing was tried
    process = hand.terminal.process
    assert process is not None
    hand.terminal.wait_until(lambda: marks_of(folder) == marks or process.poll() is not None, PATIENCE)
    attempts.expect(marks_of(folder) == marks, f"{fault}: {marks_of(folder)} of {marks} presses kept")
    attempts.expect(process.poll() is None, f"{fault}: the tool has ended with {process.poll()}")
    hand.terminal.settle(0.3, 3.0)
    said = hand.terminal.whole_screen().splitlines()[-1]
    attempts.expect(
        "not saved: plate" not in said, f"{fault}: all is kept, and the screen says: {said.strip()}"
    )


def _is_met(folder: Path) -> bool:
    """Return whether a call failed, or was late."""
    trace = (folder / "trace").read_text()
    return "(INJECTED)" in trace or "(DELAYED)" in trace


@contextmanager
def _failing(hand: Photographer, folder: Path, fault: str) -> Iterator[None]:
    """Let calls of the tool fail while the block runs."""
    process = hand.terminal.process
    assert process is not None
    trace, pid = str(folder / "trace"), str(process.pid)
    tracer = subprocess.Popen(
        [program("strace"), "-f", "-qq", "-o", trace, "-p", pid, *_inject(fault)],
        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        hand.terminal.wait_until(lambda: is_traced(process.pid), PATIENCE)
        yield
    finally:
        tracer.send_signal(signal.SIGINT)
        tracer.wait(PATIENCE)


def _inject(fault: str) -> list[str]:
    return ["-e", f"trace={fault.partition(':')[0]}", "-e", f"inject={fault}"]

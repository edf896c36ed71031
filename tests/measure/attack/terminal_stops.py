"""The tool stopped and going on in every way, and a terminal that reads nothing or tells odd sizes."""

from __future__ import annotations

import random
import re
import signal
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.kit.audit import audit
from tests.kit.photographer import journal
from tests.kit.stopped_tool import OWN_COLOURS, OWN_SCREEN, RED_COLOURS, StoppedTool
from tests.measure.attack.attempts import Attempts

STOPS = (1, 12)
"""Rounds of all the ways to stop, in the short form and in the long one."""
STALL = (7.0, 60.0)
"""Seconds in which the terminal reads nothing."""
WAYS = (
    (signal.SIGTSTP, 1), (signal.SIGTTIN, 1), (signal.SIGTTOU, 1), (signal.SIGSTOP, 1), (signal.SIGTSTP, 3)
)  # fmt: skip
"""Signals, and how many of each at once."""
DROPPED = (1, 30)
"""Rounds of the signals that stop no tool which no shell looks after."""
SIZES = (40, 2_000)
"""Sizes told one after the other."""
GROWN = 20_000_000
"""Bytes more than these are growth."""


def attack(short: bool) -> Attempts:
    """Do each part at a bench of its own, in the short form all at one: a mark is saved each time."""
    attempts = Attempts()
    if not Path("/proc/self/stat").exists():
        return attempts.leave_out("the state of a process is read from /proc")
    form = 0 if short else 1
    parts: list[Callable[[StoppedTool], None]] = [
        lambda tool: _stops(attempts, tool, STOPS[form]),
        lambda tool: _sizes(attempts, tool, SIZES[form]),
        lambda tool: _stall(attempts, tool, STALL[form]),
    ]
    if short:
        _at_the_bench(attempts, lambda tool: [part(tool) for part in parts])
    else:
        for part in parts:
            _at_the_bench(attempts, part)
    _at_the_bench(attempts, lambda tool: _dropped(attempts, tool, DROPPED[form]), is_looked_after=False)
    return attempts


def _at_the_bench(
    attempts: Attempts, part: Callable[[StoppedTool], object], *, is_looked_after: bool = True
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        tool = StoppedTool(Path(folder), is_looked_after=is_looked_after)
        with tool.terminal:
            tool.open()
            part(tool)
            tool.kill(signal.SIGTERM)
            status = tool.terminal.wait(20)
            attempts.expect(status == 128 + signal.SIGTERM, f"exit status {status}")
            attempts.expect(tool.is_cooked(), "the terminal was not given back at the end")
            leaks = audit(tool.terminal.data.replace(OWN_COLOURS, b""), 24)
            attempts.expect(leaks == [], f"not red: {leaks[:3]}")


def _stops(attempts: Attempts, tool: StoppedTool, rounds: int) -> None:
    threads = tool.threads()
    for _ in range(rounds):
        for number, times in WAYS[-2:] if rounds == 1 else WAYS:
            label = f"{number.name} {times} times"
            written = tool.stop(number, times)
            if number == signal.SIGTSTP:
                own = OWN_SCREEN in written and written.endswith(OWN_COLOURS) and tool.is_cooked()
                attempts.expect(own, f"{label}: the terminal was not given back")
            written = tool.go_on(times)
            attempts.expect(RED_COLOURS in written and tool.is_raw(), f"{label}: not taken again")
            attempts.expect(tool.is_whole(), f"{label}: the screen is not whole")
            attempts.expect(tool.mark(), f"{label}: not one mark for one press")
        tool.go_on()
        attempts.expect(tool.mark(), "SIGCONT alone: not one mark for one press")
    attempts.expect(tool.threads() == threads, f"threads: {tool.threads()}, not {threads}")
    attempts.expect(tool.stalls() == [] or min(tool.stalls()) > 0, "a stall of no time")


def _dropped(attempts: Attempts, tool: StoppedTool, rounds: int) -> None:
    """Send what would stop a job to a tool that no shell looks after: it goes on, nothing is given back."""
    before = len(tool.terminal.data)
    for _ in range(rounds):
        for number in (signal.SIGTSTP, signal.SIGTTIN, signal.SIGTTOU):
            tool.kill(number)
            attempts.expect(tool.mark(), f"{number.name} alone in its window: not one mark for one press")
    written = tool.terminal.data[before:]
    given_back = OWN_SCREEN in written or OWN_COLOURS in written or not tool.is_raw()
    attempts.expect(not given_back, "alone in its window: the terminal was given back")


def _stall(attempts: Attempts, tool: StoppedTool, seconds: float) -> None:
    """Marks, strikes, an exposure that ends by itself: saved at their times while nothing is read."""
    memory = _memory(tool)
    tool.terminal.stop_reading()
    end = time.monotonic() + seconds - 6.0
    while time.monotonic() < end:
        before = time.clock_gettime(time.CLOCK_BOOTTIME)
        saved = tool.mark()
        late = _marks(tool)[-1] - before if saved else 0.0
        attempts.expect(saved and 0 <= late < 1.5, f"a mark in a stall: saved {saved}, {late:.2f} s late")
    for stage in ("sensitise", "drain", "ready", "lead-in"):
        tool.hand.press("space")
        if stage == "sensitise":
            time.sleep(4.2)  # the time of its bath
    end = time.monotonic() + 10.0
    while "zero" not in _ends(tool) and time.monotonic() < end:
        time.sleep(0.05)
    begun, zero = _ends(tool).get("lead-in", 0.0), _ends(tool).get("zero", 0.0)
    on_time = abs(zero - begun - 2.0) < 0.01
    attempts.expect(on_time, f"the lead-in and the exposure of 1 s each ended after {zero - begun:.3f} s")
    attempts.expect(_memory(tool) - memory < GROWN, f"memory grew by {_memory(tool) - memory} bytes")
    tool.terminal.go_on_reading()
    tool.terminal.settle(0.3, 3.0)
    attempts.expect(tool.is_whole(), "the last frame is not what stands")


def _sizes(attempts: Attempts, tool: StoppedTool, count: int) -> None:
    rng = random.Random(5)
    odd = [(0, 0), (65_535, 65_535), (1, 1), (10_000, 24), (1, 10_000)]
    for size in odd[:2] if count == SIZES[0] else odd:
        tool.tell_size(*size)
        attempts.expect(tool.mark(), f"a mark at {size}")
    for _ in range(count):
        tool.tell_size(rng.randrange(220), rng.randrange(90))
        time.sleep(0.002)
    attempts.many(count, [])
    tool.tell_size(100, 30)
    attempts.expect(tool.mark(), "a mark after a storm of sizes")
    attempts.expect(tool.is_whole(), "the screen after a storm of sizes")


def _marks(tool: StoppedTool) -> list[float]:
    return [line["up"] for line in journal(tool.home)[0] if line["event"] == "mark"]


def _ends(tool: StoppedTool) -> dict[str, float]:
    """Return when the exposure's lead-in began and when the exposure ended by itself."""
    lines = [line for line in journal(tool.home)[0] if line.get("stage") == "expose"]
    begun = [("lead-in", line["up"]) for line in lines if line["event"] == "lead_in_started"]
    return dict(begun + [("zero", line["up"]) for line in lines if line.get("how") == "zero"])


def _memory(tool: StoppedTool) -> int:
    found = re.search(r"RssAnon:\s+(\d+) kB", Path(f"/proc/{tool.pid}/status").read_text())
    assert found is not None
    return int(found[1]) * 1024

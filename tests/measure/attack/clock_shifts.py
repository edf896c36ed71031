"""Wall clock steps, changes to and from summer time, other zones, sleep and stops, with a plate at the bench.

The times of the plate are compared with a clock that no step changes; each change of the clocks has a line.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.kit.clock_bench import EXACT, ClockBench
from tests.kit.shifted_clock import why_not
from tests.measure.attack.attempts import Attempts

STEPS = (3600.0, -3600.0, 0.8, -0.8, 86_400.0, -86_400.0, 45.5, 10 * 365 * 86_400.0, -10 * 365 * 86_400.0)
SHORT_STEPS = (3600.0, -3600.0)
SLEEPS, SHORT_SLEEPS = (1.5, 30.0, 1800.0, 7 * 3600.0), (1800.0,)
STOPS, SHORT_STOPS = (1.5, 2.0, 3.0, 5.0) * 5, (1.5,)
EXPOSED = 4.0
"""Seconds of an exposure that is under way while the wall clock is stepped."""
LEAST = 1.0
"""A shorter stop of the tool has no line."""
AT_ONCE = 3
Part = Callable[[Attempts], float]
"""One tool at the bench: counts its attempts, returns the worst error in seconds."""
CHANGES = (
    ("Europe/Berlin", "2026-03-29T01:59:56"), ("Europe/Berlin", "2026-10-25T02:59:56"),
    ("Australia/Lord_Howe", "2026-10-04T01:59:56"), ("America/St_Johns", "2026-11-01T01:59:56"),
)  # fmt: skip
"""Zones, and four seconds before their clocks are changed."""


def attack(short: bool) -> Attempts:
    """Shift the clocks of a tool at the bench in every way."""
    attempts = Attempts()
    if (reason := why_not()) is not None:
        return attempts.leave_out(reason)
    parts: list[Part] = [lambda counted: _shifts(counted, short)]
    parts += [lambda counted, step=step: _exposure(counted, step) for step in STEPS[: 1 if short else 4]]
    parts += [
        lambda counted, change=change: _change(counted, *change) for change in CHANGES[: 1 if short else 4]
    ]
    counts = [Attempts() for _ in parts]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        worst = max(pool.map(lambda part, counted: part(counted), parts, counts))
    for counted in counts:
        attempts.many(counted.tried, counted.failures)
    attempts.figures["worst error, s"] = f"{worst:.4f}"
    return attempts


def _near(attempts: Attempts, what: str, found: float, true: float, above: float = EXACT) -> float:
    """Count a measured time as an attempt; return its error."""
    error = found - true
    attempts.expect(-EXACT <= error <= above, f"{what}: {found:.3f} s, not {true:.3f} s")
    return abs(error)


def _shifts(attempts: Attempts, short: bool) -> float:
    """Step, sleep, stop, and come back in another zone while a stage runs; return the worst error."""
    worst = 0.0
    with tempfile.TemporaryDirectory() as folder:
        bench = ClockBench(Path(folder))
        try:
            bench.begin()
            for step in SHORT_STEPS if short else STEPS:
                line = bench.clock_line(lambda: bench.clock.step(step))  # noqa: B023
                attempts.expect(line["kind"] == "stepped", f"step of {step} s: told as {line['kind']}")
                worst = max(worst, _near(attempts, f"step of {step} s", line["seconds"], step))
                attempts.expect(bench.time_is_right(), f"step of {step} s: another time is shown")
                worst = max(
                    worst, _near(attempts, f"mark after {step} s", bench.wall_error(bench.mark()), 0.0)
                )
            for slept in SHORT_SLEEPS if short else SLEEPS:
                line = bench.clock_line(lambda: bench.clock.sleep(slept))  # noqa: B023
                attempts.expect(line["kind"] == "slept", f"sleep of {slept} s: told as {line['kind']}")
                worst = max(worst, _near(attempts, f"sleep of {slept} s", line["seconds"], slept))
                attempts.expect(bench.time_is_right(), f"sleep of {slept} s: another time is shown")
            for stopped in SHORT_STOPS if short else STOPS:
                marks, stood = len(bench.lines("mark")), 0.0

                def stop(seconds: float = stopped) -> None:
                    nonlocal stood
                    stood = bench.stop(seconds, press=True)

                line = bench.clock_line(stop)
                attempts.expect(line["kind"] == "stalled", f"stop of {stopped} s: told as {line['kind']}")
                _near(attempts, f"stop of {stopped} s", line["seconds"], stood, above=LEAST)
                bench.until("mark", marks)
                attempts.expect(bench.time_is_right(), f"stop of {stopped} s: another time is shown")
            for zone in ("Asia/Kathmandu",) if short else ("Asia/Kathmandu", "America/Adak", "UTC-14"):
                last = max(
                    line["up"] for line in bench.lines("mark") + bench.lines("clock") + bench.lines("resumed")
                )
                line = bench.killed_and_back(zone)
                attempts.expect(line["by"] == "up", f"back in {zone}: by {line['by']}")
                worst = max(worst, _near(attempts, f"gap in {zone}", line["gap"], line["up"] - last))
                attempts.expect(bench.time_is_right(), f"back in {zone}: another time is shown")
        finally:
            bench.hand.terminal.close()
    return worst


def _exposure(attempts: Attempts, step: float) -> float:
    """Step the wall clock while an exposure counts to its zero; return the error of the zero."""
    with tempfile.TemporaryDirectory() as folder:
        bench = ClockBench(Path(folder))
        try:
            bench.begin("--exposure", f"{EXPOSED:g}s")
            bench.hand.strike("drain")
            bench.hand.called_to("LIFT")
            bench.hand.strike("expose")
            bench.hand.strike("develop")
            bench.hand.press("space")
            bench.hand.terminal.wait_until(lambda: _exposing(bench), 30.0)
            bench.clock_line(lambda: bench.clock.step(step))
            bench.hand.terminal.wait_until(lambda: _exposed(bench) is not None, 30.0)
        finally:
            bench.hand.terminal.close()
        ended = _exposed(bench)
        assert ended is not None
        begun = next(line for line in bench.lines("stage_started") if line["stage"] == "expose")
        attempts.expect(ended["how"] == "zero", f"exposure over a step of {step} s: ended by {ended['how']}")
        return _near(attempts, f"exposure over a step of {step} s", ended["up"] - begun["up"], EXPOSED)


def _exposing(bench: ClockBench) -> bool:
    return any(line["stage"] == "expose" for line in bench.lines("stage_started"))


def _exposed(bench: ClockBench) -> dict[str, str | float] | None:
    return next((line for line in bench.lines("stage_ended") if line["stage"] == "expose"), None)


def _change(attempts: Attempts, zone: str, before: str) -> float:
    """Let a zone's clocks be changed while a stage runs; return the worst error of the marks around it."""
    with tempfile.TemporaryDirectory() as folder:
        bench = ClockBench(Path(folder), zone)
        instant = datetime.fromisoformat(before).replace(tzinfo=ZoneInfo(zone))
        old, changed = instant.utcoffset(), (instant + timedelta(hours=3)).utcoffset()
        try:
            bench.clock.step_to(instant.timestamp() - 3600)
            bench.begin()
            bench.clock_line(lambda: bench.clock.step_to(instant.timestamp()))
            first = bench.mark()
            bench.hand.terminal.wait_until(lambda: bench.clock.wall() > instant.timestamp() + 4.5, 30.0)
            second = bench.mark()
            attempts.expect(bench.time_is_right(), f"{zone} {before}: another time is shown")
        finally:
            bench.hand.terminal.close()
        offsets = [datetime.fromisoformat(line["at"]).utcoffset() for line in (first, second)]
        attempts.expect(offsets[1] == changed and changed != old, f"{zone} {before}: written with {offsets}")
        attempts.expect(len(bench.lines("clock")) == 1, f"{zone} {before}: told as a step")
        return max(
            _near(attempts, f"{zone} {before}: mark", bench.wall_error(line), 0.0) for line in (first, second)
        )

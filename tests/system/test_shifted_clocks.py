"""Clocks that jump under a plate at the bench: its time goes on, and the journal tells each change."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kit.clock_bench import EXACT, ClockBench
from tests.kit.shifted_clock import why_not

pytestmark = [
    pytest.mark.system,
    pytest.mark.slow,
    pytest.mark.skipif(why_not() is not None, reason=why_not() or ""),
]


def test_steps_sleep_and_a_stop_change_no_time(tmp_path: Path) -> None:
    """A stepped wall clock, a sleep and a stopped tool each have a line, and the time shown stays right."""
    bench = ClockBench(tmp_path)
    with bench.hand.terminal:
        bench.begin()
        for step in (3600.0, -3600.0):
            line = bench.clock_line(lambda: bench.clock.step(step))  # noqa: B023
            assert line["kind"] == "stepped"
            assert line["seconds"] == pytest.approx(step, abs=EXACT)
            assert bench.time_is_right()
        line = bench.clock_line(lambda: bench.clock.sleep(1800.0))
        assert line["kind"] == "slept"
        assert line["seconds"] == pytest.approx(1800.0, abs=EXACT)
        assert bench.time_is_right()
        line = bench.clock_line(lambda: bench.stop(1.5, press=True))
        assert line["kind"] == "stalled"
        assert line["seconds"] >= 1.5 - EXACT
        bench.until("mark", 0)
        assert bench.time_is_right()

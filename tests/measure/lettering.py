"""Drawing a frame of large digits at 80 columns, no digit drawn before at that size: aim 2 ms."""

from __future__ import annotations

import time

from tests.measure import measure as m


def measure(short: bool = False, argv: object = None) -> list[m.Row]:
    """Draw ten minutes of a clock, each second once."""
    from darkroom.screens.lettering import lettering

    lettering.warm(78, 10)
    times = []
    for second in range(600):
        begun = time.perf_counter()
        lettering.rows(f"{second // 60}:{second % 60:02}", 78, 10)
        times.append(time.perf_counter() - begun)
    return [m.Row("a frame of digits at 80 columns, p99", 1000 * m.percentile(times, 0.99), None, 2.0, "ms")]


if __name__ == "__main__":
    for row in measure():
        print(row)

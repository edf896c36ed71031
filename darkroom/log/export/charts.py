"""What several plates say together, as inline SVG: time over temperature, clearing over the plates. Pure.

Assumed temperatures stay out, and so do stages that nobody saw end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from darkroom.log.export.markup import escape, plain
from darkroom.log.export.record import SEEN, Told
from darkroom.log.export.shapes import RED, rect, text, upright
from darkroom.process import timing
from darkroom.process.model import Process
from darkroom.process.quantities import show_celsius, show_duration

FEWEST = 3
"""Fewer points than this are no picture."""
WIDTH, HEIGHT = 460.0, 250.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 52.0, 444.0, 16.0, 214.0
_DEGREES = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
_SECONDS = (1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0, 14400.0, 86400.0)
Point = tuple[float, float]


class Charts:
    """Gathers points plate by plate; little is kept of each."""

    def __init__(self) -> None:
        self._times: dict[tuple[str, str], list[Point]] = {}
        self._clearing: dict[str, list[tuple[float, str]]] = {}
        self._processes: dict[str, Process] = {}

    def add(self, told: Told) -> None:
        """Take what a plate adds."""
        if told.state is None:
            return
        process = told.state.process
        self._processes[process.name] = process
        fixer = (told.state.start.bottles or {}).get("fixer", "")
        for stage in told.account.stages:
            if SEEN[stage.how] not in ("observed", "called"):
                continue
            if stage.cleared is not None:
                self._clearing.setdefault(process.name, []).append((stage.cleared, fixer))
            law = timing.law_of(process, process.index(stage.stage))
            changes = law is not None and not isinstance(law, float)
            if changes and stage.celsius is not None and stage.origin not in (None, "assumed"):
                points = self._times.setdefault((process.name, stage.stage), [])
                points.append((stage.celsius, stage.seconds))

    def drawings(self) -> Iterator[tuple[str, str]]:
        """Yield (heading, SVG) of each picture that has enough points."""
        for (name, stage), points in self._times.items():
            if len(points) >= FEWEST:
                yield f"{name}: {stage}, time over temperature", self._over_heat(name, stage, points)
        for name, cleared in self._clearing.items():
            if len(cleared) >= FEWEST:
                yield f"{name}: clearing time, plate after plate", _over_plates(cleared)

    def _over_heat(self, name: str, stage: str, points: Sequence[Point]) -> str:
        process = self._processes[name]
        index = process.index(stage) if any(one.name == stage for one in process.stages) else None
        low, high = min(x for x, _ in points) - 1.0, max(x for x, _ in points) + 1.0
        law: list[Point] = []
        for number in range(41):
            celsius = low + (high - low) * number / 40
            seconds = None if index is None else timing.stage_seconds(process, index, celsius)
            if seconds is not None:
                law.append((celsius, seconds))
        plot = _Plot((low, high), [y for _, y in (*points, *law)])
        parts = [
            *plot.frame(),
            *(text("tick", plot.x(x), _BOTTOM + 16, show_celsius(x)) for x in plot.marks()),
        ]
        parts.append(plot.line(law))
        parts += [plot.dot(x, y) for x, y in points]
        parts.append(text("tick", (_LEFT + _RIGHT) / 2, HEIGHT - 4, "line: the process; dots: plates"))
        return _svg(f"{name}: {stage}, seconds over °C", parts)


def _over_plates(cleared: Sequence[tuple[float, str]]) -> str:
    plot = _Plot((0.0, len(cleared) + 1.0), [seconds for seconds, _ in cleared])
    parts = list(plot.frame())
    before = None
    for number, (seconds, fixer) in enumerate(cleared, 1):
        if before is not None and fixer != before:
            parts.append(upright("sign", plot.x(number - 0.5), _TOP, _BOTTOM))
        before = fixer
        parts.append(plot.dot(float(number), seconds))
    parts += [text("tick", plot.x(float(one)), _BOTTOM + 16, str(one)) for one in (1, len(cleared))]
    parts.append(
        text("tick", (_LEFT + _RIGHT) / 2, HEIGHT - 4, "plates, oldest first; dotted: another fixer")
    )
    return _svg("clearing time in minutes and seconds, plate after plate", parts)


class _Plot:
    """Values to places: `across` is (least, most), `up` are the values, drawn from 0."""

    def __init__(self, across: Point, up: Sequence[float]) -> None:
        self._low, self._high = across
        self._most = max(up, default=1.0) * 1.08 or 1.0

    def x(self, value: float) -> float:
        return round(_LEFT + (value - self._low) / (self._high - self._low) * (_RIGHT - _LEFT), 2)

    def y(self, value: float) -> float:
        return round(_BOTTOM - value / self._most * (_BOTTOM - _TOP), 2)

    def marks(self) -> list[float]:
        return _round_values(self._low, self._high, _DEGREES)

    def frame(self) -> Iterator[str]:
        yield rect("frame", _LEFT, _TOP, _RIGHT - _LEFT, _BOTTOM - _TOP)
        for value in _round_values(0.0, self._most, _SECONDS):
            yield text("name", _LEFT - 6, self.y(value) + 4, show_duration(value))

    def line(self, points: Sequence[Point]) -> str:
        places = " ".join(f"{self.x(x):g},{self.y(y):g}" for x, y in points)
        return f'<polyline class="law" fill="none" stroke="{RED}" stroke-width="1.4" points="{places}"/>'

    def dot(self, x: float, y: float) -> str:
        return f'<circle class="plate" cx="{self.x(x):g}" cy="{self.y(y):g}" r="3" fill="#1c1a19"/>'


def _round_values(low: float, high: float, steps: Sequence[float]) -> list[float]:
    """Return the round values between two, at most six of them."""
    step = next((step for step in steps if (high - low) / step <= 5), steps[-1])
    first = -int(-low // step)
    return [number * step for number in range(first, int(high // step) + 1)]


def _svg(title: str, parts: Sequence[str]) -> str:
    head = (
        f'<svg class="chart" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" '
        'font-family="Helvetica, Arial, sans-serif" font-size="11" role="img" '
        f'aria-label="{escape(plain(title))}">'
    )
    return "\n".join([head, *parts, "</svg>"])

"""Which reading counts: a typed value wins until it is taken back, then the thermometer's, then none."""

from __future__ import annotations

from darkroom.bench import intents as want
from darkroom.session.session import Session

HAND = "hand"


class Readings:
    """Settles typed and measured values for each source and tells the bench what counts."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._typed: dict[str, float] = {}
        self._measured: dict[str, tuple[float, str]] = {}

    def take_typed(self, source: str, value: float | None) -> None:
        """Take a typed value; None takes it back, and the thermometer's counts again."""
        if value is not None:
            self._typed[source] = value
            self._send(source, value, HAND)
            return
        self._typed.pop(source, None)
        measured = self._measured.get(source)
        if measured is not None:
            self._send(source, *measured)
            return
        assumed = self._assumed(source)
        if assumed is not None:
            self._send(source, assumed, "assumed")

    def take_measured(self, source: str, value: float, name: str) -> None:
        """Take a thermometer's value; it counts unless a typed one stands."""
        self._measured[source] = (value, name)
        if source not in self._typed:
            self._send(source, value, name)

    def _assumed(self, source: str) -> float | None:
        for state in self.session.bench.plates.values():
            if source == "humidity":
                return state.process.humidity
            if source in state.process.temperatures:
                return state.process.temperatures[source]
        return None

    def _send(self, source: str, value: float, origin: str) -> None:
        if source == "humidity":
            self.session.intend(want.ReadHumidity(value, origin))
        else:
            self.session.intend(want.ReadTemperature(source, value, origin))

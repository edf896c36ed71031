"""Liquids that warm and cool as liquids do, for rehearsals: no chemistry, no thermometer.

The model is lumped: the whole of a liquid has one temperature T, and dT/dt = (A − T)/τ where A is the
air of the room (for the water supply, the temperature of the mains) and τ = m·c/(h·S): its mass, its
specific heat, what its surface gives to the air, its surface. Between two instants with A constant that
is exactly T₁ = A + (T₀ − A)·e^(−Δt/τ), and no other integration is made here.

The room drifts: it tends to a temperature of its own and is shaken by a seeded random walk that returns
(an Ornstein–Uhlenbeck process, its steps exact too). What is seen at an instant depends on the seed
and the instant alone, not on when else one looked.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass

HEAT_OF_WATER = 4186.0
"""J/(kg·K), about; the baths are thin solutions. CRC Handbook, from memory."""
TO_AIR = 10.0
"""W/(m²·K) from a liquid or its vessel to still air; textbooks give 5 to 25 for free convection (from
memory)."""
STEP = 10.0
"""The room's temperature holds for so many seconds, then takes its next step."""


def time_constant(litres: float, square_metres: float, to_air: float = TO_AIR) -> float:
    """Return τ in seconds of a watery liquid by its volume and the surface it gives heat through."""
    return litres * HEAT_OF_WATER / (to_air * square_metres)


def settled(start: float, surroundings: float, seconds: float, constant: float) -> float:
    """Return °C after `seconds` in `surroundings` °C by Newton's law of cooling; `constant`: τ in seconds."""
    return surroundings + (start - surroundings) * math.exp(-seconds / constant)


VESSELS = {
    "bath": time_constant(1.5, 0.09),  # an upright tank with its lid on
    "developer": time_constant(0.25, 0.025),  # a bottle on the bench
    "fixer": time_constant(1.0, 0.12),  # an open tray
    "water": 180.0,  # a running tap: at the temperature of the mains within minutes
}
"""Time constants in seconds, for vessels of usual sizes (common practice, no source)."""


@dataclass(frozen=True)
class Air:
    """How the room goes on: it tends to `tends_to` °C with `constant`, shaken by `wander` °C.

    `wander` is the standard deviation of the shaking in the long run, `memory` how long it is felt in
    seconds. The room's own humidity wanders by `humid_wander` per cent and falls as the room warms.
    """

    tends_to: float
    constant: float = 5400.0
    wander: float = 0.35
    memory: float = 900.0
    humid_wander: float = 2.0


class Liquids:
    """The room and its liquids from `start` on, by a clock that is given.

    `at_start` is °C by source; sources not named begin at the room's. `mains` is the water supply's °C.
    """

    def __init__(
        self,
        start: float,
        at_start: Mapping[str, float],
        *,
        seed: int = 1,
        humidity: float = 50.0,
        air: Air | None = None,
        mains: float | None = None,
        constants: Mapping[str, float] | None = None,
    ) -> None:
        self.start = start
        room = at_start.get("room", 20.0)
        # people, lamps and a closed door: the room warms by some degrees over the evening
        self.air = air or Air(tends_to=room + 3.0)
        self.constants = dict(VESSELS if constants is None else constants)
        self.begin = {source: at_start.get(source, room) for source in ("room", *self.constants)}
        self.mains = self.begin.get("water", room) if mains is None else mains
        self.humidity_at_start = humidity
        self._random = random.Random(seed)
        self._room_noise = [0.0]
        self._humidity_noise = [0.0]
        self._by_step: list[dict[str, float]] = [dict(self.begin)]

    def at(self, now: float) -> dict[str, float]:
        """Return °C by source at an instant of the clock; before the start it is the start's."""
        since = max(0.0, now - self.start)
        step = int(since // STEP)
        self._extend_to(step)
        return self._temperatures_after(self._by_step[step], self._room_at(step), since - step * STEP)

    def humidity(self, now: float) -> float:
        """Return the room's relative humidity at an instant, in per cent.

        The water in the air stays, so warmer air is relatively drier: about 6 % less of the value for
        each degree (Magnus' formula near 20 °C, from memory).
        """
        step = int(max(0.0, now - self.start) // STEP)
        self._extend_to(step)
        warmer = self.at(now)["room"] - self.begin["room"]
        value = self.humidity_at_start * math.exp(-0.061 * warmer) + self._humidity_noise[step]
        return min(97.0, max(8.0, value))

    def _room_at(self, step: int) -> float:
        since = step * STEP
        base = settled(self.begin["room"], self.air.tends_to, since, self.air.constant)
        return base + self._room_noise[step]

    def _extend_to(self, step: int) -> None:
        decay = math.exp(-STEP / self.air.memory)
        noise_scale = math.sqrt(1.0 - decay * decay)
        while len(self._by_step) <= step:
            last = len(self._by_step) - 1
            self._by_step.append(self._temperatures_after(self._by_step[last], self._room_at(last), STEP))
            gauss = self._random.gauss
            self._room_noise.append(
                self._room_noise[last] * decay + self.air.wander * noise_scale * gauss(0.0, 1.0)
            )
            self._humidity_noise.append(
                self._humidity_noise[last] * decay + self.air.humid_wander * noise_scale * gauss(0.0, 1.0)
            )

    def _temperatures_after(
        self, before: Mapping[str, float], room: float, seconds: float
    ) -> dict[str, float]:
        temperatures = {"room": room}
        for source, constant in self.constants.items():
            surroundings = self.mains if source == "water" else room
            temperatures[source] = settled(before[source], surroundings, seconds, constant)
        return temperatures

"""What the log tells of a plate for the question why it failed. Pure.

Seconds, °C, per cent; instants are seconds since the epoch. A value that nobody read, typed or saw (an
assumed temperature too) is None: it is not recorded.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

import msgspec

Part = Literal["coat", "bath", "drain", "exposure", "develop", "stop", "fix", "wash", "dry", "varnish"]
"""What a stage is to a plate, whatever its process calls it."""


class MarkedFault(msgspec.Struct, frozen=True, kw_only=True):
    """A fault as it was judged: its name and place, the cause that was confirmed, the questions' answers.

    `answers` are {question, or what a test says to do: answer}.
    """

    name: str
    where: str | None = None
    cause: str | None = None
    answers: Mapping[str, str] = {}


class StageFigures(msgspec.Struct, frozen=True, kw_only=True):
    """What one stage took; `celsius` is a reading, `usual` the file's own range where it has one."""

    seconds: float
    planned: float | None = None
    celsius: float | None = None
    cleared: float | None = None
    usual: tuple[float, float] | None = None


class BottleThen(msgspec.Struct, frozen=True, kw_only=True):
    """A bottle as it was when the plate used it.

    `plates` counts the plates since it was made, `since` those since each of "filtered", "sunned",
    "topped_up", "boiled_down", "opened" that had happened, this plate not counted. `changed` is
    {what was done: when it was last done} of what alters or clears it. `iodised` is None where the book says
    neither. `percent` is its strength in % w/v, `fresh_clearing` the fresh fixer's clearing time.
    """

    name: str
    id: str | None = None
    age_days: float | None = None
    plates: int | None = None
    since: Mapping[str, int] = {}
    changed: Mapping[str, float] = {}
    iodised: bool | None = None
    percent: float | None = None
    fresh_clearing: float | None = None


class PlateFigures(msgspec.Struct, frozen=True, kw_only=True):
    """One plate of the log.

    `judged` says that it was judged at all; `faults` are those that were marked, `looked_for` the names of
    all that stood in the catalogue when "nothing else" was struck (None: it was not). `proposed` and
    `exposed` are the exposure's seconds, `stops` what the next plate should get. `first_seen` is the time
    from the developer to the first sign of the image.
    """

    plate: str
    number: int
    process: str
    instant: float
    day: str
    judged: bool = False
    faults: tuple[MarkedFault, ...] = ()
    looked_for: tuple[str, ...] | None = None
    stars: int | None = None
    stops: float | None = None
    proposed: float | None = None
    exposed: float | None = None
    first_seen: float | None = None
    wet_used: float | None = None
    wet_about: float | None = None
    humidity: float | None = None
    temperatures: Mapping[str, float] = {}
    stages: Mapping[str, StageFigures] = {}
    bottles: Mapping[str, BottleThen] = {}
    holder: str | None = None
    camera: str | None = None

    def has(self, fault: str) -> bool:
        """Return whether the plate was marked with a fault."""
        return any(marked.name == fault for marked in self.faults)

    def lacks(self, fault: str) -> bool:
        """Return whether it is known that the plate has not the fault: it was looked for."""
        return not self.has(fault) and self.looked_for is not None and fault in self.looked_for


def stops_of(seconds: float | None) -> float | None:
    """Return an exposure's seconds in stops (log2), None for a time that nobody knows or that is none."""
    return math.log2(seconds) if seconds is not None and 0 < seconds < math.inf else None

"""The data behind the trends: a few columns of plates and stages, from the catalogue or an export. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.trends.changes import Change
from darkroom.log.trends.fixers import FixFacts
from darkroom.log.trends.speed import Speeds
from darkroom.log.trends.stage_times import Gathered

Key = str | int
"""What tells the rows of one plate from those of others: its path, or its place among the plates read."""


class PlateFacts(msgspec.Struct, frozen=True, gc=False):
    """One plate; see `PLATE_COLUMNS` of the catalogue."""

    path: Key
    plate: str
    process: str | None = None
    process_sum: str | None = None
    size: str | None = None
    lens: str | None = None
    aperture: str | None = None
    light: str | None = None
    camera: str | None = None
    holder: str | None = None
    fixer: str | None = None
    stars: int | None = None
    exposed: float | None = None
    wet_used: float | None = None
    wet_about: float | None = None
    humidity: float | None = None
    humidity_from: str | None = None
    estimated: int = 0
    number: int | None = None
    day: str | None = None
    moment: float | None = None
    exposure_stops: float | None = None
    best_strip: float | None = None
    exposure_word: str | None = None
    nothing_else: str | None = None


msgspec.json.Decoder(PlateFacts)  # known to msgspec from here on: two threads must not be the first to use it


class Rows(msgspec.Struct):
    """The plates asked for, oldest first, their struck stages, and every stage of the log in a fixer.

    `faults` are {plate: names}; `rooms` are {plate: the mean of the room's readings, °C}: no reading, no
    entry. `unseen` are the plates whose wet time began at an end that no strike saw. A plate is told by its
    `path`, see `Key`. `fixed` counts plates that are not asked for too: a fixer wears by each of them.
    `judged` say their exposure, or are the speeds that they tell. `changes` are those of the bottles that the
    plates asked for used. Many plates come in columns (`plate_columns`), which are gone through as lists are.
    """

    plates: Sequence[PlateFacts] = msgspec.field(default_factory=list)
    stages: Gathered = msgspec.field(default_factory=Gathered)
    fixed: Iterable[FixFacts] = msgspec.field(default_factory=list)
    faults: dict[Key, Sequence[str]] = {}
    rooms: Mapping[Key, float] = msgspec.field(default_factory=dict)
    unseen: set[Key] = set()
    judged: Speeds | Sequence[JudgedPlate] = msgspec.field(default_factory=list)
    changes: list[Change] = []

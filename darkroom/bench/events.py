"""The facts that can happen to a plate: the journal's events, one struct each.

Names and members are a contract with every journal on disk: never renamed, never retyped;
new members are optional. Every event carries `n` (1, 2, 3 … within the plate), `at` (wall time
of its cause, RFC 3339 with offset and milliseconds) and `up` (seconds on the clock that goes on
through sleep; None for lines written at review). Times are seconds, temperatures °C.
"""

from __future__ import annotations

from typing import Any, Literal

import msgspec

from darkroom.event_base import Event
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import ProposedExposure, Scene

SCHEMA = 1

How = Literal["strike", "zero", "told", "short", "skipped"]
Asks = Literal["short", "cleared", "hand"]
"""What is asked: is the stage over before its time, has the plate cleared already, is this plate meant."""
ExposureWord = Literal["more", "right", "less"]
Reading = tuple[float, str]
"""(value, where it is from: `hand`, a thermometer's name, or `assumed`)."""


class PlateStarted(Event, frozen=True, kw_only=True, omit_defaults=False):
    """The first line of a plate, written in the cause of its first strike.

    `process` is the checked process as plain values; `temperatures` is {source: (°C, from)},
    `humidity` is (per cent, from). `wet_time` is the typed time the plate stays wet and `carry` the
    way back from the camera, both in seconds; `carry_from` says where `carry` is from when nobody typed it,
    as "median of 7 plates". `prepare` is true when the optional first stages are
    timed too, `damp_pad` when a damp pad lies in the holder; the wet time does not reckon with it.
    """

    plate: str
    number: int
    schema: int
    version: str
    bench: str
    boot: str
    process: dict[str, Any]
    temperatures: dict[str, Reading] = msgspec.field(default_factory=dict)
    humidity: Reading | None = None
    plan: ExposurePlan | None = None
    timed: Literal["here", "away"] = "here"
    size: str | None = None
    who: str | None = None
    subject: str | None = None
    lens: str | None = None
    aperture: str | None = None
    light: str | None = None
    bottles: dict[str, str] | None = None
    wet_time: float | None = None
    carry: float | None = None
    carry_from: str | None = None
    prepare: bool | None = None
    damp_pad: bool | None = None
    holder: str | None = None
    camera: str | None = None
    scene: Scene | None = None
    proposed: ProposedExposure | None = None
    bottle_ids: dict[str, str] | None = None
    rehearsal: bool = False
    speed: float | None = None


class Acknowledged(Event, frozen=True, kw_only=True, omit_defaults=True):
    """A caution or a question of the process was acknowledged, or a change of the water noted.

    `since` is the instant at which the question was answered with yes, as RFC 3339 text. `count` tells the
    changes of the water, the first water counted.
    """

    what: str
    stage: str | None = None
    since: str | None = None
    count: int | None = None


class LeadInStarted(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The lead-in of `stage` began; it takes `seconds`. `part` counts the parts of an exposure."""

    stage: str
    seconds: float
    part: int | None = None
    planned: float | None = None


class StageStarted(Event, frozen=True, kw_only=True, omit_defaults=True):
    """`stage` began. `part` is set from the second part of an exposure on.

    `bottle_ids` are {role: bottle id}, and `bottles` {role: its name}, that were chosen since the plate
    began: they stand in these roles from this stage on, whatever `plate_started` says.
    """

    stage: str
    planned: float | None
    celsius: float | None
    wet_left: float | None = None
    part: int | None = None
    bottle_ids: dict[str, str] | None = None
    bottles: dict[str, str] | None = None


class Cleared(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The plate has cleared, `seconds` after the stage began."""

    stage: str
    seconds: float


class StageEnded(Event, frozen=True, kw_only=True, omit_defaults=True):
    """`stage` ended after `seconds`. `exposed` is the time the lens was open, where it differs.

    `unseen` is true when nobody saw the stage end, so how long the lens was open is not known.
    """

    stage: str
    seconds: float
    planned: float | None
    how: How
    exposed: float | None = None
    strips: tuple[float, ...] | None = None
    unseen: bool | None = None


class Temperature(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The value that counts from now on for a liquid or the room."""

    source: str
    celsius: float
    from_: str = msgspec.field(name="from")


class Humidity(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The relative humidity of the room that counts from now on."""

    percent: float
    from_: str = msgspec.field(name="from")


class ExposureSet(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The exposure plan, aperture or scene was changed before the exposure; `plan` is always whole."""

    plan: ExposurePlan | None = None
    aperture: str | None = None
    scene: Scene | None = None


class WetTimeSet(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The photographer typed how long this plate stays wet, in seconds; None takes it back."""

    seconds: float | None = None


class Mark(Event, frozen=True, kw_only=True, omit_defaults=True):
    """Something happened now; words are added later, dry."""


class Moved(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The lines named in `moves` happened `seconds` later than they say; negative is earlier.

    They are the lines of one strike. `up` is None for a strike moved at review, which says its `reason`.
    """

    moves: tuple[int, ...]
    seconds: float
    reason: str | None = None


class Undone(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The lines named in `undoes` no longer stand. `held`: an automatic zero lay behind them."""

    undoes: tuple[int, ...]
    held: bool


class Refused(Event, frozen=True, kw_only=True, omit_defaults=True):
    """An intent was refused, for this reason.

    A refusal that `asks` is a question about `stage`: the next strike of the plate answers it with yes.
    """

    intent: str
    reason: str
    asks: Asks | None = None
    stage: str | None = None


class Resumed(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The bench came back `gap` seconds after this plate's previous bench line."""

    gap: float
    by: Literal["up", "wall"]
    boot: str


class Clock(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The clocks did something: the machine slept, the wall clock stepped, the program stalled."""

    kind: Literal["slept", "stepped", "stalled"]
    seconds: float


class Racked(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The plate left the bench for the rack."""


class PlateEnded(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The plate is finished."""

    how: Literal["done", "unvarnished", "abandoned"]
    reason: str | None = None


class Note(Event, frozen=True, kw_only=True, omit_defaults=True):
    """Words about the plate, or about the mark `about` (an `n`)."""

    text: str
    about: int | None = None
    corrects: int | None = None
    reason: str | None = None


class Fault(Event, frozen=True, kw_only=True, omit_defaults=True):
    """A fault seen on the plate and where.

    `cause` is what the photographer says it came from, `answers` are {question, or what a test says to do:
    answer} as they were given.
    """

    name: str
    where: str | None = None
    cause: str | None = None
    answers: dict[str, str] | None = None
    corrects: int | None = None
    reason: str | None = None


class Rating(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The plate judged; `exposure_stops` (+ more, − less) or the word is what the next plate should get.

    `nothing_else` says that all its faults are marked: the names of all faults that were looked for, as the
    catalogue had them; true stands for those that come with the tool.
    """

    stars: int | None = None
    exposure_stops: float | None = None
    best_strip: int | None = None
    exposure_word: ExposureWord | None = None
    nothing_else: list[str] | bool | None = None
    corrects: int | None = None
    reason: str | None = None


class Detail(Event, frozen=True, kw_only=True, omit_defaults=True):
    """A free detail: `key` and `value`."""

    key: str
    value: str
    corrects: int | None = None
    reason: str | None = None


class Continued(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The first line (`n` 0) of a further file of a plate's journal.

    `saved` is the highest `n` known saved in the files before it. `home` is the folder of the log the
    plate belongs to, for a file that lies elsewhere.
    """

    plate: str
    saved: int
    why: str
    home: str | None = None


AnyEvent = (
    PlateStarted | Acknowledged | LeadInStarted | StageStarted | Cleared | StageEnded | Temperature
    | Humidity | ExposureSet | WetTimeSet | Mark | Moved | Undone | Refused | Resumed | Clock | Racked
    | PlateEnded | Note | Fault | Rating | Detail | Continued
)  # fmt: skip

REVIEW = (Note, Fault, Rating, Detail)
"""Events that judge a plate afterwards; they never change what the bench shows."""


READER: msgspec.json.Decoder[AnyEvent] = msgspec.json.Decoder(AnyEvent)
"""Reads a line. Made at import: two threads that first use a type together end the program (msgspec 0.22)."""

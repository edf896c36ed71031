"""What the photographer, or the passing of time, wants; and what comes of it.

An intent is decided with a `Cause`: when it happened. The answer is a `Decision`: events for one
or more plates, or a refusal with its reason.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from darkroom.bench import events as ev
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene


class Cause(msgspec.Struct, frozen=True):
    """When something happened: `at` as RFC 3339 text, `up` on the boot clock in seconds."""

    at: str
    up: float


class Go(msgspec.Struct, frozen=True):
    """Start, next, "it has cleared".

    `plate` and `number` name a plate whose first strike this is; `acknowledged` are (question, instant) of
    what its process wants confirmed and was answered with yes today, the instant as RFC 3339 text.
    """

    plate: str = ""
    number: int = 0
    acknowledged: tuple[tuple[str, str], ...] = ()


class Zero(msgspec.Struct, frozen=True):
    """The automatic zero of `plate` has been reached."""

    plate: str


class Undo(msgspec.Struct, frozen=True):
    """Take back the last step of the large plate."""


class Earlier(msgspec.Struct, frozen=True):
    """The last step of the large plate happened five seconds before it was struck."""


class MarkNow(msgspec.Struct, frozen=True):
    """Something happened now."""


class Look(msgspec.Struct, frozen=True):
    """Make another plate large: the next (+1) or the one before (−1)."""

    direction: Literal[-1, 1]


class Nudge(msgspec.Struct, frozen=True):
    """Expose a third of a stop more (+1) or less (−1), while the exposure stands ready."""

    direction: Literal[-1, 1]


class PutBack(msgspec.Struct, frozen=True):
    """Take the last undo of the large plate back."""


class AddExposure(msgspec.Struct, frozen=True):
    """Open the lens again after an exposure; `seconds` None counts up until a strike."""

    seconds: float | None = None


class TellOpen(msgspec.Struct, frozen=True):
    """How long the lens was open, in seconds, where nobody saw the cap go on."""

    seconds: float


class SetPlan(msgspec.Struct, frozen=True):
    """Change the exposure plan, the aperture or the scene before the exposure."""

    plan: ExposurePlan | None
    aperture: str | None = None
    scene: Scene | None = None


class SetWetTime(msgspec.Struct, frozen=True):
    """How long the large plate stays wet, typed; None takes it back."""

    seconds: float | None


class Skip(msgspec.Struct, frozen=True):
    """Leave the stage out, or leave it now, without claiming that it was done."""


class Abandon(msgspec.Struct, frozen=True):
    """Give the large plate up."""

    reason: str


class CameBack(msgspec.Struct, frozen=True):
    """The program runs again with `plate`, `gap` seconds after its previous bench line."""

    plate: str
    gap: float
    by: Literal["up", "wall"]
    boot: str


class FromRack(msgspec.Struct, frozen=True):
    """Take a plate from the rack to go on with it.

    `back` is set for one that was handed over and whose last line is of another start of the machine.
    """

    plate: str
    back: CameBack | None = None


class FinishUnvarnished(msgspec.Struct, frozen=True):
    """End a plate on the rack without varnish; `back` as for `FromRack`."""

    plate: str
    back: CameBack | None = None


class Say(msgspec.Struct, frozen=True):
    """A note on the large plate, typed at the bench."""

    text: str


class JudgeExposure(msgspec.Struct, frozen=True):
    """Say what the plate after the large one should get: more, the same, or less light.

    Of a test plate: which `strip` is the best, counted from 1.
    """

    word: ev.ExposureWord | None = None
    strip: int | None = None


class TakeProposed(msgspec.Struct, frozen=True):
    """Put a new plate on the bench with the exposure that was proposed: is there one?"""


class ChangeBottle(msgspec.Struct, frozen=True):
    """Choose another bottle of the book for what is still to come: is there one?"""


class ReadTemperature(msgspec.Struct, frozen=True):
    """A temperature that counts from now on, for every plate on the bench."""

    source: str
    celsius: float
    origin: str


class ReadHumidity(msgspec.Struct, frozen=True):
    """A humidity that counts from now on, for every plate on the bench."""

    percent: float
    origin: str


class ClockDid(msgspec.Struct, frozen=True):
    """The machine slept, the wall clock stepped, or the program stalled."""

    kind: Literal["slept", "stepped", "stalled"]
    seconds: float


Intent = (
    Go
    | Zero
    | Undo
    | Earlier
    | MarkNow
    | Look
    | Nudge
    | PutBack
    | AddExposure
    | TellOpen
    | SetPlan
    | SetWetTime
    | Skip
    | Abandon
    | FromRack
    | FinishUnvarnished
    | Say
    | JudgeExposure
    | TakeProposed
    | ChangeBottle
    | ReadTemperature
    | ReadHumidity
    | ClockDid
    | CameBack
)


class Decision(msgspec.Struct, frozen=True, kw_only=True):
    """What comes of an intent.

    `events` holds for each plate its new lines, all of one cause. `refusal` is the reason when the
    intent was refused (a `refused` line may still be among the events). `say` are the words that
    answer it. `large` is the plate to make large, when that changes; `meant_for` the plate that was decided
    for, where it need not be the large one.
    """

    events: tuple[tuple[str, tuple[ev.AnyEvent, ...]], ...] = ()
    refusal: str | None = None
    say: tuple[str, ...] = ()
    large: str | None = None
    meant_for: str | None = None
    told: str | None = None

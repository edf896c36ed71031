"""Which sounds are due when."""

from __future__ import annotations

from typing import Literal

import msgspec

CueName = Literal[
    "accepted", "refused", "pip", "start", "end", "overrun", "step", "wet_warning", "back_now",
    "past_wet", "safelight", "room_light", "not_saved", "saved_again",
]  # fmt: skip


class Cue(msgspec.Struct, frozen=True, kw_only=True):
    """One sound due at `up` (seconds on the boot clock).

    `say` are the words spoken after it, each a name of the spoken set ("two", "drain", a number
    as "12"). `plate` is the number it is for. Equal cues of two sets are the same sound.
    """

    up: float
    name: CueName
    plate: int | None = None
    say: tuple[str, ...] = ()
    urgency: int = 0

"""A cue on its way to the player: one JSON object, and what makes two of them the same sound."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple, Protocol

from darkroom.devices.sound.cue_names import LATEST, RANK, WAIT


class CueLike(Protocol):
    """Anything with the members of a cue; a mapping with the same keys will do as well."""

    @property
    def up(self) -> float:
        """When it is due, in seconds on the clock that goes on through sleep."""

    @property
    def name(self) -> str:
        """Which cue it is, or "say", "repeat" and "caution" for words alone."""

    @property
    def plate(self) -> int | None:
        """The number of its plate."""

    @property
    def say(self) -> tuple[str, ...]:
        """The words spoken after it."""

    @property
    def urgency(self) -> int:
        """How urgent an overrun call is, 1 to 3."""


class Call(NamedTuple):
    """A cue as the player holds it; equal calls are the same sound."""

    up: float
    name: str
    plate: int | None = None
    say: tuple[str, ...] = ()
    urgency: int = 0

    @property
    def rank(self) -> int:
        """Where two would overlap the higher rank sounds."""
        return RANK.get(self.name, 0)

    @property
    def wait(self) -> float:
        """How long it may wait for another to finish, in seconds."""
        return WAIT.get(self.name, LATEST)

    def like(self, other: Call) -> bool:
        """True when both are the same call, perhaps at another instant."""
        return self.name == other.name and self.plate == other.plate and self.say == other.say

    def as_plain(self) -> dict[str, Any]:
        """Return the call as plain values."""
        return {
            "up": self.up,
            "name": self.name,
            "plate": self.plate,
            "say": list(self.say),
            "urgency": self.urgency,
        }


def plain(cue: CueLike | Mapping[str, Any]) -> dict[str, Any]:
    """Return a cue of any form as plain values for a line of JSON."""
    if isinstance(cue, Mapping):
        return call(cue).as_plain()
    return {
        "up": float(cue.up),
        "name": cue.name,
        "plate": cue.plate,
        "say": list(cue.say),
        "urgency": cue.urgency,
    }


def call(values: Mapping[str, Any]) -> Call:
    """Return the call that plain values describe."""
    return Call(
        up=float(values["up"]),
        name=str(values["name"]),
        plate=values.get("plate"),
        say=tuple(values.get("say") or ()),
        urgency=int(values.get("urgency") or 0),
    )

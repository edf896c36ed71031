"""What every line of every file of events has in common. Pure."""

from __future__ import annotations

from typing import Any

import msgspec


def _tag(name: str) -> str:
    return "".join("_" + c.lower() if c.isupper() else c for c in name).lstrip("_")


class Event(
    msgspec.Struct, frozen=True, kw_only=True, tag_field="event", tag=_tag, omit_defaults=True, gc=False
):
    """What every event carries; `n` is 0 only in a `continued` line of a plate."""

    n: int
    at: str
    up: float | None


class Newer(msgspec.Struct, frozen=True, kw_only=True):
    """A line with a right sum whose `event` this version does not know: kept as it came."""

    n: int
    at: str
    up: float | None
    event: str
    members: dict[str, Any]


msgspec.json.Decoder(Newer)

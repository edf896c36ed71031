"""What every event of a journal has in common. Pure."""

from __future__ import annotations

import msgspec


def _tag(name: str) -> str:
    return "".join("_" + c.lower() if c.isupper() else c for c in name).lstrip("_")


class Event(msgspec.Struct, frozen=True, kw_only=True, tag_field="event", tag=_tag, omit_defaults=True):
    """What every event carries; `n` is 0 only in a `continued` line."""

    n: int
    at: str
    up: float | None

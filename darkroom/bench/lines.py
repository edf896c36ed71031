"""New lines of a plate's journal: those of one cause, a refusal, a question. Pure."""

from __future__ import annotations

from typing import Any

from darkroom.bench import events as ev
from darkroom.bench.intents import Cause
from darkroom.bench.state import PlateState


class Lines:
    """Collects the new lines of one cause, numbered on from a plate's last one."""

    def __init__(self, state: PlateState, cause: Cause, last_n: int | None = None) -> None:
        self.n = state.last_n if last_n is None else last_n
        self.cause = cause
        self.lines: list[ev.AnyEvent] = []

    def add(self, kind: type[Any], /, **members: Any) -> None:
        """Add one event of this kind; seconds and °C are kept to the microsecond."""
        self.n += 1
        kept = {key: round(value, 6) if isinstance(value, float) else value for key, value in members.items()}
        self.lines.append(kind(n=self.n, at=self.cause.at, up=self.cause.up, **kept))


Outcome = tuple[tuple[ev.AnyEvent, ...], str | None]
"""The new lines, and the reason of a refusal (then the lines hold a `refused`)."""


def ask(state: PlateState, cause: Cause, asks: ev.Asks, question: str) -> Outcome:
    """Refuse a strike with a question that the plate's next strike answers with yes."""
    lines = Lines(state, cause)
    lines.add(ev.Refused, intent="go", reason=question, asks=asks, stage=state.stage.name)
    return tuple(lines.lines), question


def refuse(state: PlateState, cause: Cause, intent: str, reason: str) -> Outcome:
    """Refuse an intent; the refusal itself is a line of the journal."""
    lines = Lines(state, cause)
    lines.add(ev.Refused, intent=intent, reason=reason)
    return tuple(lines.lines), reason


def change(state: PlateState, cause: Cause, kind: type[Any], /, **members: Any) -> tuple[ev.AnyEvent, ...]:
    """Return one event that changes what is known or planned."""
    lines = Lines(state, cause)
    lines.add(kind, **members)
    return tuple(lines.lines)

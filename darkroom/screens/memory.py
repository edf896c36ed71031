"""What the bench remembers between two sittings, in bench.json, and what was typed in this one."""

from __future__ import annotations

from typing import Protocol

import msgspec
from msgspec import Struct, field

from darkroom.bench.all_plates import Bench
from darkroom.log.journal.find import MOST_NUMBER
from darkroom.session.plate_form import PlateForm


class Book(Protocol):
    """Where the memory is kept: both methods return at once, or nearly."""

    def save(self, state: dict[str, object]) -> None:
        """Take what is to be remembered."""

    def close(self, timeout: float = 2.0) -> bool:
        """Write what is left; return whether all was written."""


def counted(number: object) -> int:
    """Return a plate's number where plates are counted on from it, else 0: see `find.MOST_NUMBER`."""
    return number if type(number) is int and 0 < number <= MOST_NUMBER else 0


class Memory(Struct):
    """What is remembered between two sittings, in bench.json, and what was typed in this one."""

    book: Book
    form: PlateForm
    number: int = 0
    """The highest plate number so far."""
    brightness: int | None = None
    kept: bool = True
    """False for a rehearsal and beside another tool: nothing is written."""
    draft: dict[str, str] = field(default_factory=dict)
    """What was typed at home but is on no plate yet: {field: text}."""
    draft_read_at: dict[str, float] = field(default_factory=dict)
    """{source: wall time at which its reading was typed} of the draft."""
    saved: dict[str, object] = field(default_factory=dict)

    def next_number(self, bench: Bench) -> int:
        """Return the number the next plate gets."""
        return 1 + max([self.number, *(counted(state.number) for key, state in bench.plates.items() if key)])

    def keep_draft(self, texts: dict[str, str], read_at: dict[str, float]) -> None:
        """Keep what stands in the home form: {field: text}, and when each reading of it was typed."""
        self.draft, self.draft_read_at = texts, dict(read_at)

    def save(self, bench: Bench, today: str) -> None:
        """Write bench.json when what it holds has changed."""
        if not self.kept:
            return
        self.number = self.next_number(bench) - 1
        state = {
            "plates": [key for key, state in bench.plates.items() if key and state.phase != "ended"],
            "large": bench.large or None,
            "brightness": self.brightness,
            "form": msgspec.to_builtins(self.form),
            "number": self.number,
            "day": today,
            "changed_bottles": {key: roles for key, roles in bench.changed_bottles.items() if roles},
        }
        if state != self.saved:
            self.saved = state
            self.book.save(state)

"""What a lesson of the guided rehearsal is: when it is on, what ends it, what is said. Pure."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from darkroom.session.lesson_facts import Fact

Happening = Literal[
    "strike",  # a strike of the go zone was accepted
    "void",  # a handful over two live zones
    "dead",  # a key that does nothing
    "refused",  # an intent was refused
    "asked",  # a strike was answered with a question
    "answered_no",  # an undo answered a question
    "short",  # a stage was ended before its time, the question answered with yes
    "undone", "put_back", "earlier", "mark", "looked", "told",
    "nudged",  # the exposure was made longer or shorter
    "steps_set",  # an exposure in steps was set
    "read",  # a temperature or the humidity was typed
    "lead_in",  # a lead-in began
    "started",  # a stage began
    "exposed",  # an exposure ended
    "steps_exposed",  # a test plate's exposure ended
    "developing",  # the stage that ends the wet time began
    "cleared",
    "change_noted",  # a change of the wash water was noted
    "new_plate",  # a further plate's first strike
    "large_changed",  # another plate became large though nobody asked for it
    "overdue",  # a stage that called has begun to call again
    "racked",
    "from_rack",
    "blackout",  # the screen was made black
    "ended",  # a plate is finished
]  # fmt: skip
"""What the bench can tell the lessons."""

Fault = Literal["sound_lost", "not_saved"]
Need = Literal[
    "exposure", "lead_in", "wet", "cleared", "question", "changes", "rack", "pedal", "three_pedals"
]


KEYS = {
    "go": "space", "undo": "backspace", "earlier": "1", "mark": "6", "tell": "0", "menu": "escape",
    "left": "left", "right": "right", "up": "up", "down": "down",
}  # fmt: skip
"""The first keys of the zones as shipped, for the texts."""


@dataclass(frozen=True)
class Lesson:
    """One thing to do: when it can be done, what the screen and the voice say, what ends it.

    It is on while all of `when` holds on the bench. `until` are the happenings that end it, any of them.
    Unless `again`, one that happened before counts. `hint` is said after `slow` seconds, `gives_up` ends
    it by itself after so many. `needs` is what a process or the key map must have for it.
    """

    name: str
    when: tuple[Fact, ...]
    until: tuple[Happening, ...]
    text: str
    spoken: str
    hint: str = ""
    slow: float = 20.0
    again: bool = False
    gives_up: float = math.inf
    needs: tuple[Need, ...] = ()
    fault: Fault | None = None

"""The lessons of the guided rehearsal, as data: at which moment, what is said, what ends it. Pure.

Each text fits two rows of 60 columns together with its number; `spoken` is its short form for the voice.
"""

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


LESSONS: tuple[Lesson, ...] = (
    Lesson(
        "dark",
        ("dark",),
        ("told", "strike"),
        "The screen is black. {tell} tells; {go} acts, and the screen is back.",
        "{tell} tells, {go} acts",
        again=True,
    ),
    Lesson(
        "strike",
        ("new",),
        ("strike",),
        "Nothing runs yet. Strike {go} once, with one hand: the plate starts, and you begin to pour.",
        "press {go}: the plate begins",
        "Any key from X to M does the same.",
    ),
    Lesson(
        "tell",
        ("begun",),
        ("told",),
        "Strike {tell}: the voice tells plate, stage, time and what to do, then this lesson again.",
        "press {tell}: it tells",
        "Tell changes nothing. Without sound, the answer stands on the screen.",
    ),
    Lesson(
        "handful",
        ("free",),
        ("strike",),
        "A wet glove hits several keys. Slap {go} and the keys above it: it counts as one strike.",
        "hit {go} and its neighbours",
        "Flat fingers, all at once. One slap is one step, however many keys it hits.",
        again=True,
    ),
    Lesson(
        "earlier",
        ("early",),
        ("earlier",),
        "Hands are busy, so the strike came late? {earlier}: the last step moves 5 s earlier.",
        "press {earlier}: 5 seconds earlier",
        "Once more is 5 s more, never before the step before it.",
    ),
    Lesson(
        "question",
        ("early",),
        ("answered_no",),
        "Strike {go}, too early: it asks, and nothing is done. Answer no with {undo}.",
        "{go}, too early, asks: {undo} says no",
        "The question stands for 8 s. Later than that, {go} asks anew.",
        again=True,
        needs=("question",),
    ),
    Lesson(
        "void",
        ("begun", "calm"),
        ("void",),
        "Hit {go} and {undo} together. They mean different things, so neither is done.",
        "hit {go} and {undo} together",
        "Both within a moment of each other.",
    ),
    Lesson(
        "dead",
        ("begun", "calm"),
        ("dead",),
        "Hit a key far from the others, such as Q. It does nothing, and says so softly.",
        "hit Q: it does nothing",
    ),
    Lesson(
        "pedal",
        ("begun", "calm"),
        ("strike",),
        "A foot switch is mapped: it does what {go} does, here and in the menu. Use it at the next step.",
        "the foot switch is go",
        again=True,
        gives_up=40.0,
        needs=("pedal",),
    ),
    Lesson(
        "three pedals",
        ("begun",),
        ("told",),
        "Three foot switches: go, tell, take back. Press the one that tells.",
        "press the foot switch that tells",
        again=True,
        gives_up=40.0,
        needs=("three_pedals",),
    ),
    Lesson(
        "overdue",
        ("bath_calls",),
        ("overdue", "strike"),
        "The bath is over. Leave the plate in for once: the calls grow urgent, the plate loses nothing.",
        "leave it in: the calls grow urgent",
        "A late lift is no harm, and the time over is counted. Lift when you like: {go}.",
        slow=30.0,
        again=True,
        needs=("wet",),
    ),
    Lesson(
        "undo",
        ("draining",),
        ("undone",),
        "Say that was too soon. {undo} takes it back; the bath's clock was never wrong. Then {go} again.",
        "{undo} takes the lift back",
        "While a plate develops, and for a step older than a minute, it asks first.",
        needs=("wet",),
    ),
    Lesson(
        "wet",
        ("draining",),
        ("strike",),
        "The large time is now the wet time left, until the plate dries. Drain, load it, strike {go}.",
        "drain, load, press {go}",
        slow=45.0,
        again=True,
        needs=("wet",),
    ),
    Lesson(
        "longer",
        ("lens_ready", "timed"),
        ("nudged",),
        "Before the exposure: {up} and {down} make it longer or shorter by a third of a stop.",
        "{up} and {down}: longer, shorter",
        "It is spoken too: the hand need not look.",
        needs=("exposure",),
    ),
    Lesson(
        "strips",
        ("lens_ready", "steps"),
        ("steps_exposed",),
        "A test plate: {go}, then at each signal cover one more strip. Each got all the time until then.",
        "press {go}: at each signal one more strip",
        slow=45.0,
        needs=("exposure",),
    ),
    Lesson(
        "lead-in",
        ("lens_ready",),
        ("lead_in",),
        "Strike {go}: a lead-in counts while your hand goes to the cap, and at zero it starts by itself.",
        "press {go}: at zero, cap off",
        "A strike within the lead-in starts it at once.",
        slow=45.0,
        needs=("exposure", "lead_in"),
    ),
    Lesson(
        "exposure",
        ("lens_open",),
        ("exposed",),
        "The lens is open. At zero it ends by itself: cap on. With no time set, your strike ends it.",
        "at zero, cap on",
        slow=45.0,
        needs=("exposure",),
    ),
    Lesson(
        "developer",
        ("developer_ready",),
        ("developing",),
        "Carry it back. Strike {go}, pour at zero, watch the plate. Late or past wet, it is never refused.",
        "press {go}, pour at zero",
        slow=45.0,
        needs=("wet",),
    ),
    Lesson(
        "clearing",
        ("clearing",),
        ("cleared",),
        "When the last of the yellow would have gone, strike {go}: cleared. Then it counts as long again.",
        "cleared? Press {go}",
        "Far too early, it asks: again if it really has.",
        slow=30.0,
        needs=("cleared",),
    ),
    Lesson(
        "second plate",
        ("one", "calm", "after_fixing"),
        ("new_plate",),
        "Meanwhile a second plate: {menu}, {go} on “New plate like the last”, then {go} starts it.",
        "a second plate: {menu}, {go}, {go}",
        "In the menu {go} chooses, as enter does. It takes no typing.",
        slow=30.0,
    ),
    Lesson(
        "test plate",
        ("two", "calm", "lens_ahead", "early"),
        ("steps_set",),
        "A test plate: {menu}, “Set the exposure”, type 10,10,20. Each step adds to those before it.",
        "{menu}: set the exposure, 10, 10, 20",
        "Arrows move in the menu. With “strike” after the steps, each one waits for your strike.",
        slow=45.0,
        needs=("exposure",),
    ),
    Lesson(
        "temperatures",
        ("calm", "early", "bath"),
        ("read",),
        "A warmer bath is a shorter one: {menu}, “Temperatures”, bath, type 24. See its time follow.",
        "{menu}: temperatures, bath, 24",
        "A typed value wins over the thermometer until it is emptied again.",
        slow=45.0,
    ),
    Lesson(
        "two plates",
        ("two", "calm", "bath"),
        ("looked",),
        "Two plates run: the other stands in the line above this one. {left} makes it large.",
        "{left}: the other plate",
        "A plate you look at takes the next strike, and asks first where another one waits.",
        slow=30.0,
    ),
    Lesson(
        "changes",
        ("washing",),
        ("change_noted",),
        "The wash calls for each change of water. Change it, strike {go}: noted, and the wash goes on.",
        "at each call change the water, then {go}",
        "Wait for the call: a change is noted only soon after it.",
        slow=40.0,
        again=True,
        needs=("changes",),
    ),
    Lesson(
        "large place",
        ("two", "elsewhere"),
        ("large_changed",),
        "Now wait. The plate that needs you becomes large by itself, and a voice says “plate 2 now”.",
        "wait: it comes by itself",
        "In the first second after that a strike is refused: it was meant for the other.",
        slow=30.0,
        needs=("wet",),
    ),
    Lesson(
        "yes",
        ("washing",),
        ("short",),
        "Enough washing, for once: {go} asks, and {go} again a second later says yes. It is racked.",
        "{go} asks, {go} again says yes",
        "A first strike may note a change of the water. Strike again, wait a second, and again.",
        slow=30.0,
        again=True,
        needs=("question", "changes", "rack"),
    ),
    Lesson(
        "rack",
        ("rack", "calm", "after_fixing"),
        ("from_rack",),
        "On the rack a plate dries and calls no more. {menu}, “Take a plate from the rack”, to varnish it.",
        "{menu}: take a plate from the rack",
        "Today or tomorrow: it waits there, in the tool and in the log.",
        slow=45.0,
        needs=("rack",),
    ),
    Lesson(
        "sound lost",
        ("after_fixing", "calm"),
        ("mark",),
        "Say the sound has died: the lowest line says so, all else goes on. Seen it? Strike {mark}, mark.",
        "say the sound is lost: press {mark}",
        "In earnest: work by the screen, and look at the speaker when no plate is wet.",
        again=True,
        gives_up=90.0,
        fault="sound_lost",
    ),
    Lesson(
        "not saved",
        ("after_fixing", "calm"),
        ("mark",),
        "Say the disk is full: the lowest line says “not saved”. It is tried again, nothing stops. {mark}.",
        "say nothing is saved: press {mark}",
        "In earnest: make room on the disk. All that waits is then written, in its order. {mark}.",
        again=True,
        gives_up=90.0,
        fault="not_saved",
    ),
    Lesson(
        "blackout",
        ("after_fixing", "calm", "lit"),
        ("blackout",),
        "By voice alone: {menu}, “Blackout”. In the dark {tell} tells; {go} acts, and the screen is back.",
        "{menu}: blackout",
        "A strike in the dark counts. Clocks and calls go on.",
        slow=40.0,
    ),
)

WAITING = "Work on as the bench says: the next lesson comes at its moment."
LAST = "That was all. Work the plates to the end, or leave by {menu}. Foot switches: key_map in the settings."
LAST_SPOKEN = "that was all"


KEYS = {
    "go": "space", "undo": "backspace", "earlier": "1", "mark": "6", "tell": "0", "menu": "escape",
    "left": "left", "right": "right", "up": "up", "down": "down",
}  # fmt: skip
"""The first keys of the zones as shipped, for the texts."""


def spoken_texts() -> tuple[str, ...]:
    """Return what the voice says of the lessons with the keys as shipped."""
    return (*(lesson.spoken.format(**KEYS) for lesson in LESSONS), LAST_SPOKEN)

"""What the spoken set holds: every text that the tool speaks, and what a process speaks of its own. Pure.

A text is recorded as it stands here; `speech` puts the texts of the bench together from these. Whoever gives
the tool something new to say adds it here, or to what is gathered here, and has the set made anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from darkroom.bench import hazards, moments, refusals, repeats
from darkroom.bench.bottles_at_hand import ROLE_NAMES
from darkroom.late_patterns import late_pattern
from darkroom.process.model import SOURCES, Process
from darkroom.session.actions import LEAVE_OUT, MENU, REASONS
from darkroom.session.lesson_texts import spoken_texts
from darkroom.session.speech import words_of

NUMBERS = (*(str(number) for number in range(61)), "70", "80", "90", "hundred")
TIMES = (
    "hour", "hours", "minute", "minutes", "second", "seconds", "degree", "degrees", "per cent", "point",
    "seconds left", "minutes left", "seconds over", "seconds earlier", "left", "over", "so far", "more",
    "short",
)  # fmt: skip
CALLS = (
    "plate", "new plate", "now", "of", "line", "back now", "past wet", "wet", "assumed", "safelight only",
    "room light is safe", "red next", "ready", "held", "cap on", "on the rack", "finished", "given up",
    "done", "press", "lesson",
    "then", "caution", "taken back", "put back", "marked", "noted", "cleared", "cleared, as long again",
    "exposed as planned, now back", "exposure", "until you press", "between", "flashes", "apart", "not saved",
    "saved again", "1 plate came back", "2 plates came back", "plates came back", "is wet",
)  # fmt: skip
QUESTIONS = (
    "nobody saw the cap go on: how long was it open?",
    "again to", "again to take back", "again for", "cleared already? Again if it has", "though plate",
    "waits", "end of", "start of", "end of the plate", "it is never left out", "its start stays",
    "keeps acid from the cyanide", "keeps cyanide from the acid", "a key is held down",
    "several keys at once: nothing done", "another key came first: nothing done",
)  # fmt: skip
MENUS = (
    "menu", "keep it", "back", "stay", "leave: the terminal's own colours come back", "from the rack",
    "this plate has not begun: nothing of it is recorded", "take it off the bench",
    "give this plate up: why?",
    "the bench needs the safelight", "read, go on", "no: no plate is put on the bench", "yes, confirmed",
    "before you begin", "finish unvarnished", "go does not choose this", "enter does", "humidity", "not read",
    "which bottle?", "another, not in the book",
    "by hand", "more", "less", "right", "longer", "shorter", "go on", "half a stop", "a stop", "stops",
)  # fmt: skip
GLUE = (
    "a", "again", "already", "and", "as", "at", "be", "been", "before", "by", "can", "came", "do", "for",
    "from", "has", "if", "in", "is", "it", "its", "no", "not", "nothing", "on", "only", "or", "out", "the",
    "there", "this", "that", "time", "to", "until", "was", "when", "with", "yes", "you",
)  # fmt: skip
"""Words that join the others, for sentences that are recorded nowhere as a whole."""

SAID = {"cure": "warm again", "flush": "rinse again", "stop": "water"}
"""What is spoken where it is not the text itself: these stages are called as the screen labels them."""
LONGEST = 60
"""A sentence with more letters than this is recorded in the parts that its commas make."""

_SENTENCE = late_pattern(r"[^.!?;]+[.!?;]?")


def texts(processes: Iterable[Process] = ()) -> dict[str, str]:
    """Return {what a recording says, as plain words: the text that is spoken for it}, for these processes."""
    known = (
        *(*NUMBERS, *TIMES, *CALLS, *QUESTIONS, *MENUS, *GLUE, *SOURCES, *ROLE_NAMES.values(), *REASONS),
        *_refusals(),
    )
    labels = (action.label for action in (*MENU, LEAVE_OUT))
    between = (part for _, _, warning in hazards.CLASHES for part in sentences(warning))
    own = (text for process in processes for text in of_process(process))
    recorded: dict[str, str] = {}
    for text in (*known, *labels, *between, *spoken_texts(), *own):
        plain = " ".join(words_of(text))
        recorded.setdefault(plain, SAID.get(plain, text))
    return recorded


def of_process(process: Process) -> Iterator[str]:
    """Return what a process speaks: the names and verbs of its stages, and its cautions by sentences."""
    for stage in process.stages:
        yield stage.name
        yield moments.spoken_verb_when_due(process, stage)
        if stage.lead_in:
            yield moments.spoken_verb_of_lead_in(process, stage)
        repeat = repeats.repeat_of(stage)
        if repeat is not None:
            yield repeat.verb.lower()
    for stage in process.stages:
        for caution in stage.cautions:
            yield from sentences(caution)


def sentences(text: str) -> Iterator[str]:
    """Return the sentences of a text, long ones by their commas."""
    for sentence in _SENTENCE.findall(text):
        parts = [sentence] if len(sentence) <= LONGEST else sentence.split(",")
        yield from (part.strip() for part in parts if part.strip())


def _refusals() -> Iterator[str]:
    yield from (value for name, value in vars(refusals).items() if name.isupper())

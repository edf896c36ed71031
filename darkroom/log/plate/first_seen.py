"""How long after the developer the first sign of the image was seen: as typed, or from a mark. Pure."""

from __future__ import annotations

from darkroom.bench import events as ev
from darkroom.bench.standing import instants
from darkroom.bench.state import PlateState
from darkroom.errors import QuantityError
from darkroom.log.journal.merge import PlateLog
from darkroom.log.plate.parts import parts
from darkroom.log.plate.record import Judged
from darkroom.process.text.durations import duration

KEY = "first seen"
"""The key of the detail that holds it, a duration."""
WORDS = "the image showed"
"""What is said of the mark that was pressed then; the shipped words for marks have it."""


def first_seen(log: PlateLog, state: PlateState | None, judged: Judged) -> float | None:
    """Return the seconds from the developer to the first sign of the image; None where nothing tells them.

    What was typed counts; without it the first mark of that meaning in the developing.
    """
    typed = judged.detail(KEY)
    if typed is not None:
        try:
            return duration(typed)
        except QuantityError:
            return None
    if state is None or not judged.notes:  # no note stands that could be about a mark
        return None
    return _marked(log, state)


def _marked(log: PlateLog, state: PlateState) -> float | None:
    notes = [
        line
        for line in log.standing
        if isinstance(line, ev.Note) and line.about is not None and line.text.strip().casefold() == WORDS
    ]
    if not notes:
        return None
    corrected = {line.corrects for line in log.standing if isinstance(line, ev.REVIEW)}
    when = instants(log.standing)
    marks = {line.n for line in log.standing if isinstance(line, ev.Mark)}
    about = [note.about for note in notes if note.n not in corrected and note.about in marks]
    known = parts(state.process)
    for done in state.done:
        if known.get(done.stage) == "develop" and done.how not in ("skipped", "told"):
            seen = [when[n] for n in about if n in when and done.started <= when[n] <= done.ended]
            if seen:
                return round(min(seen) - done.started, 3)
    return None

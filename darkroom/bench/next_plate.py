"""What the next plate's exposure is proposed to be: the last one's, and half a stop more or less. Pure.

The photographer says more, right or less once the plate has cleared; half a stop is common practice, no
source. What is proposed is offered and never taken unasked.
"""

from __future__ import annotations

from collections.abc import Iterable

from darkroom.bench import endings
from darkroom.bench import events as ev
from darkroom.bench.exposure import plan_seconds
from darkroom.bench.standing import standing
from darkroom.bench.state import Done, PlateState
from darkroom.process.text.durations import show_short

WORDS: tuple[ev.ExposureWord, ...] = ("more", "right", "less")
STOPS: dict[ev.ExposureWord, float] = {"more": 0.5, "right": 0.0, "less": -0.5}
"""What each word means for the next plate, in stops; + is more light."""


def next_stops(
    stops: float | None, word: ev.ExposureWord | None, best_strip: int | None = None
) -> float | None:
    """Return by how many stops the next plate should differ: as typed in stops, else by the word.

    Of a test plate whose best strip is said it is against that strip, and alone it is right as it was. How
    far such a judgement may be off is in `exposure.judgements`.
    """
    if stops is not None:
        return stops
    if word is not None:
        return STOPS[word]
    return None if best_strip is None else 0.0


def has_cleared(state: PlateState) -> bool:
    """Return whether the plate can be judged: it has cleared, or it is no more sensitive."""
    places = [place for place, stage in enumerate(state.process.stages) if endings.of(stage).clears]
    if places:
        return (
            state.cleared_at is not None
            or state.index > places[0]
            or any(done.cleared is not None for done in state.done)
        )
    sensitive = state.process.sensitive
    if isinstance(sensitive, str):
        return bool(state.done)
    return state.index >= state.process.index(sensitive.to) and state.phase != "ready"


def exposure_done(state: PlateState) -> Done | None:
    """Return the exposure as it was made, None before that and where it was left out."""
    place = endings.exposure_place(state.process)
    name = None if place is None else state.process.stages[place].name
    return next((done for done in reversed(state.done) if done.stage == name and done.how != "skipped"), None)


def strips_got(state: PlateState) -> tuple[float, ...]:
    """Return what each strip of a test plate got in seconds; nothing where not all were made."""
    done = exposure_done(state)
    return () if done is None or done.strips is None else done.strips


def got(state: PlateState) -> float | None:
    """Return how many seconds a plate got in one opening of the lens, None where that is not known.

    Of a test plate it is what its best strip got, once that is said.
    """
    done = exposure_done(state)
    if done is None:
        return None
    if state.plan is not None and state.plan.seconds is None:
        totals, best = strips_got(state), best_strip(state)
        return totals[best - 1] if best is not None and 1 <= best <= len(totals) else None
    if done.unseen:
        return done.exposed
    if done.how == "told":
        return plan_seconds(state.plan)
    return done.seconds if done.exposed is None else done.exposed


def proposed_seconds(seconds: float, stops: float) -> float:
    """Return an exposure changed by so many stops, to two figures: nobody caps a lens more exactly."""
    return float(f"{seconds * 2.0**stops:.2g}") if stops else round(seconds, 1)


def judged_stops(state: PlateState) -> float | None:
    """Return by how many stops the plate's own ratings want the next one changed; None when unsaid.

    A rating that another corrects does not count. Of a test plate it is against its best strip.
    """
    stops: float | None = None
    word: ev.ExposureWord | None = None
    for line in _ratings(state):
        stops = stops if line.exposure_stops is None else line.exposure_stops
        word = word if line.exposure_word is None else line.exposure_word
    return next_stops(stops, word, best_strip(state) if strips_got(state) else None)


def best_strip(state: PlateState) -> int | None:
    """Return which strip of a test plate its ratings call the best, counted from 1; None when unsaid."""
    said = [line.best_strip for line in _ratings(state) if line.best_strip is not None]
    return said[-1] if said else None


def _ratings(state: PlateState) -> list[ev.Rating]:
    """Return the plate's ratings that no other corrects."""
    lines = [line for line in standing(state.lines) if isinstance(line, ev.Rating)]
    corrected = {line.corrects for line in lines}
    return [line for line in lines if line.n not in corrected]


def proposal(plates: Iterable[PlateState]) -> tuple[float, float] | None:
    """Return (seconds, stops) proposed by the newest judged plate like the last one; None without one.

    The next plate gets the process of the last one, and its lens: what another process needs is no guide.
    """
    newest_first = sorted(plates, key=lambda state: state.number, reverse=True)
    for state in newest_first:
        if not is_alike(state, newest_first[0]):
            continue
        stops, seconds = judged_stops(state), got(state)
        if stops is not None and seconds is not None:
            return proposed_seconds(seconds, stops), stops
    return None


def is_alike(state: PlateState, last: PlateState) -> bool:
    """Return whether both are of one process, with one lens and aperture."""
    return (state.process.name, state.start.lens, state.aperture) == (
        last.process.name,
        last.start.lens,
        last.aperture,
    )


def stops_text(stops: float) -> str:
    """Return "half a stop more", "as it was", "1.5 stops less"."""
    if not stops:
        return "as it was"
    size = {0.5: "half a stop", 1.0: "a stop"}.get(abs(stops), f"{abs(stops):.2g} stops")
    return f"{size} {'more' if stops > 0 else 'less'}"


def proposal_text(plates: Iterable[PlateState]) -> str | None:
    """Return "11 s, half a stop more", or None where nothing is proposed."""
    proposed = proposal(plates)
    return None if proposed is None else f"{show_short(proposed[0])}, {stops_text(proposed[1])}"

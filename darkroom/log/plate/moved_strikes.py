"""Moving a strike afterwards: it came later than what it told of, so it counts earlier. The line stays.

A move is a new line that names the lines of one strike; a second move puts them back.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Literal, get_args

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.fold import fold
from darkroom.bench.standing import Line, instants, standing
from darkroom.bench.state import STEPS
from darkroom.bench.undo import causes
from darkroom.errors import DarkroomError, WrongUse, nearest
from darkroom.log.journal.merge import read_plate
from darkroom.process.text import durations
from darkroom.process.text.durations import say_duration

Which = Literal["start", "cleared", "end"]
WORDS: dict[Which, str] = {"start": "start of {}", "cleared": "clearing of {}", "end": "end of {}"}
LEAST = 0.001
"""A shorter way is none, in seconds."""


class MovableStrike(msgspec.Struct, frozen=True, kw_only=True):
    """A strike that can be moved: what it told of, its lines, its instant, and how far it was moved.

    `after` and `before` are the instants of the step before it and of the one after it, or None.
    """

    stage: str
    which: Which
    lines: tuple[int, ...]
    instant: float
    moved: float
    after: float | None
    before: float | None

    @property
    def words(self) -> str:
        """What it told of."""
        return WORDS[self.which].format(self.stage)


def strikes(lines: Iterable[Line]) -> tuple[MovableStrike, ...]:
    """Return the strikes of a plate that can be moved, in order; none where the lines tell no plate.

    What the clock did by itself, lead-ins and the openings of an exposure stay where they are.
    """
    try:
        state = fold(lines)
    except (ValueError, DarkroomError):
        return ()
    stands = standing(state.lines)
    when = instants(stands)
    struck = instants([line for line in stands if not isinstance(line, ev.Moved)])
    groups = [
        moved
        for group in causes(state)
        if any(isinstance(line, STEPS) for line in group)
        and (moved := [line for line in group if isinstance(line, (*STEPS, ev.Racked)) and line.n in when])
    ]
    found = []
    for place, group in enumerate(groups):
        told = _told_of(group, groups[place - 1] if place else [])
        if told is None:
            continue
        n = group[0].n
        found.append(
            MovableStrike(
                stage=told[0],
                which=told[1],
                lines=tuple(line.n for line in group),
                instant=when[n],
                moved=round(when[n] - struck[n], 3),
                after=when[groups[place - 1][-1].n] if place else None,
                before=when[groups[place + 1][0].n] if place + 1 < len(groups) else None,
            )
        )
    return tuple(found)


def _told_of(group: Sequence[Line], before: Sequence[Line]) -> tuple[str, Which] | None:
    for line in group:
        if isinstance(line, ev.StageEnded):
            return (line.stage, "end") if line.how in ("strike", "short") else None
        if isinstance(line, ev.Cleared):
            return line.stage, "cleared"
        if isinstance(line, ev.StageStarted):
            led = any(isinstance(one, ev.LeadInStarted) for one in before)
            return None if led or line.part else (line.stage, "start")
    return None


def way(text: str, bare: float | None = None) -> float:
    """Return the seconds of `-8 min`, `2:30 earlier` (negative) or `+30 s`, `30 s later`.

    `bare` is the sign of a time that does not say which way, if that may be. Raises WrongUse.
    """
    plain = text.strip().replace("\u2212", "-")
    found = re.fullmatch(r"([+-]?)\s*(.*?)\s*(earlier|later)?", plain)
    sign, size, word = found.groups() if found else ("", "", None)
    if not size or (sign and word):
        raise WrongUse(f"'{text}' is no way to move a strike: write -8 min, or 8 min earlier")
    factor = {"-": -1.0, "+": 1.0, "earlier": -1.0, "later": 1.0}.get(sign or word or "", bare)
    if factor is None:
        raise WrongUse(f"'{text}' does not say which way: write -{size}, or {size} earlier")
    return factor * durations.duration(size)


def chosen(found: Sequence[MovableStrike], stage: str, which: Which) -> MovableStrike:
    """Return the strike that is meant. Raises WrongUse that tells which there are."""
    for strike in found:
        if (strike.stage, strike.which) == (stage, which):
            return strike
    if not found:
        raise WrongUse("no strike of this plate can be moved")
    names = [one.stage for one in found]
    if stage not in names:
        near = nearest(stage, names)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(dict.fromkeys(names))}"
        raise WrongUse(f"no strike of a stage '{stage}' can be moved: {hint}")
    there = " and the ".join(one.words for one in found if one.stage == stage)
    raise WrongUse(f"the {WORDS[which].format(stage)} is no strike that can be moved, but the {there}")


def checked(strike: MovableStrike, seconds: float | None) -> float:
    """Return by how many seconds the strike moves; None puts it back to where it was struck.

    Raises WrongUse where it would pass the step before it or the one after it.
    """
    by = round(-strike.moved if seconds is None else seconds, 3)
    if abs(by) < LEAST:
        raise WrongUse(f"the {strike.words} stands where it was struck")
    there = strike.instant + by
    if strike.after is not None and there < strike.after - LEAST / 2:
        room = _floored(strike.instant - strike.after)
        raise WrongUse(f"the {strike.words} can be {room} earlier at most: there is the step before it")
    if strike.before is not None and there > strike.before + LEAST / 2:
        room = _floored(strike.before - strike.instant)
        raise WrongUse(f"the {strike.words} can be {room} later at most: there is the step after it")
    return by


def _floored(seconds: float) -> str:
    """Return a way in words, never longer than it is."""
    return say_duration(math.floor(seconds) if seconds >= 10 else math.floor(10 * seconds) / 10)


def built(
    path: Path, stage: str, which: Which, seconds: float | None, at: str, reason: str | None = None
) -> Callable[[int], Sequence[ev.Moved]]:
    """Return what makes the line of a move, for `notes.add_all`; `at` is the wall time.

    The journal is read anew when the line is made: what someone else moved meanwhile counts.
    """

    def build(n: int) -> list[ev.Moved]:
        strike = chosen(strikes(read_plate(path).events), stage, which)
        by = checked(strike, seconds)
        return [ev.Moved(n=n, at=at, up=None, moves=strike.lines, seconds=by, reason=reason)]

    return build


def which_of(text: str) -> Which:
    """Return the strike that is named. Raises WrongUse."""
    for one in get_args(Which):
        if one == text:
            return one  # type: ignore[no-any-return]
    raise WrongUse(f"'{text}' is neither of {', '.join(get_args(Which))}")

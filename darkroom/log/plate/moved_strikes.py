"""Moving a strike afterwards, one that came later than the event it reports; its line stays in the journal.

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
STRIKE_TEXT: dict[Which, str] = {"start": "start of {}", "cleared": "clearing of {}", "end": "end of {}"}
LEAST = 0.001
"""A shorter move is refused, in seconds."""


class MovableStrike(msgspec.Struct, frozen=True, kw_only=True):
    """A strike that can be moved: the step it reports, its lines, its instant, and how far it was moved.

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
        """The step that it reports, in words."""
        return STRIKE_TEXT[self.which].format(self.stage)


def strikes(lines: Iterable[Line]) -> tuple[MovableStrike, ...]:
    """Return the strikes of a plate that can be moved, in order; none where the lines make no valid plate.

    What the clock did by itself, lead-ins and the openings of an exposure stay where they are.
    """
    try:
        state = fold(lines)
    except (ValueError, DarkroomError):
        return ()
    standing_lines = standing(state.lines)
    counts_at = instants(standing_lines)
    struck_at = instants([line for line in standing_lines if not isinstance(line, ev.Moved)])
    groups = [
        moved
        for group in causes(state)
        if any(isinstance(line, STEPS) for line in group)
        and (
            moved := [line for line in group if isinstance(line, (*STEPS, ev.Racked)) and line.n in counts_at]
        )
    ]
    movable = []
    for position, group in enumerate(groups):
        meaning = _meaning_of(group, groups[position - 1] if position else [])
        if meaning is None:
            continue
        n = group[0].n
        movable.append(
            MovableStrike(
                stage=meaning[0],
                which=meaning[1],
                lines=tuple(line.n for line in group),
                instant=counts_at[n],
                moved=round(counts_at[n] - struck_at[n], 3),
                after=counts_at[groups[position - 1][-1].n] if position else None,
                before=counts_at[groups[position + 1][0].n] if position + 1 < len(groups) else None,
            )
        )
    return tuple(movable)


def _meaning_of(group: Sequence[Line], lines_before: Sequence[Line]) -> tuple[str, Which] | None:
    for line in group:
        if isinstance(line, ev.StageEnded):
            return (line.stage, "end") if line.how in ("strike", "short") else None
        if isinstance(line, ev.Cleared):
            return line.stage, "cleared"
        if isinstance(line, ev.StageStarted):
            after_lead_in = any(isinstance(line, ev.LeadInStarted) for line in lines_before)
            return None if after_lead_in or line.part else (line.stage, "start")
    return None


def parse_shift(text: str, bare: float | None = None) -> float:
    """Return the seconds of `-8 min`, `2:30 earlier` (negative) or `+30 s`, `30 s later`.

    `bare` is the sign of a time without a direction, None to refuse one. Raises WrongUse.
    """
    text_with_ascii_minus = text.strip().replace("\u2212", "-")
    match = re.fullmatch(r"([+-]?)\s*(.*?)\s*(earlier|later)?", text_with_ascii_minus)
    sign, size, word = match.groups() if match else ("", "", None)
    if not size or (sign and word):
        raise WrongUse(f"'{text}' is no way to move a strike: write -8 min, or 8 min earlier")
    factor = {"-": -1.0, "+": 1.0, "earlier": -1.0, "later": 1.0}.get(sign or word or "", bare)
    if factor is None:
        raise WrongUse(f"'{text}' does not say which way: write -{size}, or {size} earlier")
    return factor * durations.duration(size)


def chosen(movable: Sequence[MovableStrike], stage: str, which: Which) -> MovableStrike:
    """Return the strike of `stage` that is called `which`. Raises WrongUse with those that can be moved."""
    for strike in movable:
        if (strike.stage, strike.which) == (stage, which):
            return strike
    if not movable:
        raise WrongUse("no strike of this plate can be moved")
    names = [strike.stage for strike in movable]
    if stage not in names:
        near = nearest(stage, names)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(dict.fromkeys(names))}"
        raise WrongUse(f"no strike of a stage '{stage}' can be moved: {hint}")
    stage_strikes = " and the ".join(strike.words for strike in movable if strike.stage == stage)
    raise WrongUse(
        f"the {STRIKE_TEXT[which].format(stage)} is no strike that can be moved, but the {stage_strikes}"
    )


def checked(strike: MovableStrike, seconds: float | None) -> float:
    """Return by how many seconds the strike moves; None puts it back to where it was struck.

    Raises WrongUse where it would pass the step before it or the one after it.
    """
    by = round(-strike.moved if seconds is None else seconds, 3)
    if abs(by) < LEAST:
        raise WrongUse(f"the {strike.words} stands where it was struck")
    new_instant = strike.instant + by
    if strike.after is not None and new_instant < strike.after - LEAST / 2:
        most = _rounded_down(strike.instant - strike.after)
        raise WrongUse(f"the {strike.words} can be {most} earlier at most: there is the step before it")
    if strike.before is not None and new_instant > strike.before + LEAST / 2:
        most = _rounded_down(strike.before - strike.instant)
        raise WrongUse(f"the {strike.words} can be {most} later at most: there is the step after it")
    return by


def _rounded_down(seconds: float) -> str:
    """Return a duration in words, rounded down."""
    return say_duration(math.floor(seconds) if seconds >= 10 else math.floor(10 * seconds) / 10)


def move_builder(
    path: Path, stage: str, which: Which, seconds: float | None, at: str, reason: str | None = None
) -> Callable[[int], Sequence[ev.Moved]]:
    """Return what makes the line of a move, for `append.add_all`; `at` is the wall time.

    The journal is read again when the line is made, so that moves made meanwhile count.
    """

    def build(n: int) -> list[ev.Moved]:
        strike = chosen(strikes(read_plate(path).events), stage, which)
        by = checked(strike, seconds)
        return [ev.Moved(n=n, at=at, up=None, moves=strike.lines, seconds=by, reason=reason)]

    return build


def which_of(text: str) -> Which:
    """Return `text` as a `Which`. Raises WrongUse."""
    for which in get_args(Which):
        if which == text:
            return which  # type: ignore[no-any-return]
    raise WrongUse(f"'{text}' is neither of {', '.join(get_args(Which))}")

"""The lines of a plate's journal in a photographer's words: readings, moments, steps taken back, judgements.

Exact figures and the numbers of lines stay in the journal, and in what is printed for programs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.exposure import plan_text
from darkroom.bench.standing import Line
from darkroom.bench.state import STEPS
from darkroom.event_base import Newer
from darkroom.log.plate.faults import fault_of
from darkroom.log.plate.ratings import rates
from darkroom.log.plate.scene_text import aperture_text, scene_text
from darkroom.process.text.durations import say_duration
from darkroom.process.text.temperatures import show_celsius

READINGS = (ev.Temperature, ev.Humidity, ev.ExposureSet, ev.WetTimeSet)
MOMENTS = (ev.Mark, ev.Refused, ev.Resumed, ev.Clock, ev.Acknowledged, ev.Racked, ev.Moved)
LONG_STALL = 2.0
"""A stall of so many seconds or more is told of: a call may have come as much too late."""


class AccountLine(msgspec.Struct, frozen=True):
    """A line of the journal as text: its number, its wall time, and whether it was taken back.

    `fate` says what became of a judgement: "corrected" or "withdrawn" by a later one; of an answer to how
    long the lens was open also that its exposure was taken back.
    """

    n: int
    at: str
    text: str
    taken_back: bool = False
    fate: str = ""

    def with_day(self, day: str) -> str:
        """Return the text, its date where that is not `day`, and what became of it."""
        later = "" if self.at[:10] == day else f", on {self.at[:10]}"
        fate = "taken back" if self.taken_back else self.fate
        return self.text + later + (f" ({fate})" if fate else "")


def origin(where: str | None) -> str:
    """Say where a reading is from: typed by hand, measured by a thermometer, or assumed."""
    if where is not None and where.startswith("hand: "):
        return f"said by hand: {where.removeprefix('hand: ')}"
    return {"hand": "typed by hand", "assumed": "assumed", None: ""}.get(where) or f"measured by {where}"


def mark_numbers(lines: Iterable[Line]) -> dict[int, int]:
    """Return {number of its line: number of the mark within the plate}, from 1."""
    marks = [line.n for line in lines if isinstance(line, ev.Mark)]
    return {n: number for number, n in enumerate(marks, 1)}


def note_text(note: ev.Note, numbers: dict[int, int]) -> str:
    """Return the words of a note, with the mark that they are about."""
    mark = numbers.get(note.about or 0)
    return note.text if mark is None else f"mark {mark}: {note.text}"


class AccountLines:
    """All lines of one plate, ascending; `stands` are the numbers of those that no undo names."""

    def __init__(self, lines: Sequence[Line], stands: set[int]) -> None:
        self.lines, self.stands = lines, stands
        self._by_n = {line.n: line for line in lines}
        self._marks = mark_numbers(lines)
        self._corrections = {
            line.corrects: line
            for line in lines
            if isinstance(line, ev.REVIEW) and line.corrects is not None and line.n in stands
        }
        self._mark_words: dict[int, list[str]] = {}
        self._from_rack: set[int] = set()
        racked = False
        for line in lines:
            if isinstance(line, ev.Note) and line.about is not None:
                if line.n in stands and line.n not in self._corrections:
                    self._mark_words.setdefault(line.about, []).append(line.text)
            elif isinstance(line, (*STEPS, ev.Racked)):
                racked = isinstance(line, ev.Racked)
            elif isinstance(line, ev.Resumed) and racked:
                self._from_rack.add(line.n)

    def readings(self) -> tuple[AccountLine, ...]:
        """Return what was read and set."""
        return self._of(READINGS)

    def newer(self) -> tuple[AccountLine, ...]:
        """Return the lines that this version does not know."""
        return self._of((Newer,))

    def words(self) -> tuple[AccountLine, ...]:
        """Return what was said of the plate, each with what became of it."""
        return self._of(ev.REVIEW)

    def moments(self) -> tuple[AccountLine, ...]:
        """Return what happened beside the steps; moves of one step that follow each other are one moment."""
        moments: list[AccountLine] = []
        move: ev.Moved | None = None
        for line in self.lines:
            stalled = isinstance(line, ev.Clock) and line.kind == "stalled"
            if isinstance(line, ev.Moved):
                if move is not None and self._goes_on(move, line):
                    move = msgspec.structs.replace(line, seconds=move.seconds + line.seconds)
                    moments[-1] = self._line(move)
                    continue
                move = line
            elif isinstance(line, (*STEPS, *MOMENTS)) and not stalled:
                move = None
            if isinstance(line, MOMENTS) and not stalled:
                moments.append(self._line(line))
        return tuple(sorted([*moments, *self._stalls()], key=lambda moment: moment.n))

    def _goes_on(self, move: ev.Moved, line: ev.Moved) -> bool:
        """Whether a move is another strike of "earlier" on the same step."""
        at_bench = move.up is not None and line.up is not None
        both_stand = move.n in self.stands and line.n in self.stands
        return at_bench and both_stand and move.moves == line.moves

    def _stalls(self) -> Iterator[AccountLine]:
        """Yield one line for all the stalls that were long enough to matter."""
        stalls = [line for line in self.lines if isinstance(line, ev.Clock) and line.kind == "stalled"]
        long = [line for line in stalls if line.seconds >= LONG_STALL]
        if not long:
            return
        longest = max(line.seconds for line in long)
        often = "once, for" if len(long) == 1 else f"{len(long)} times, for up to"
        text = f"the computer was too busy {often} {say_duration(longest)}: calls may have come late"
        yield AccountLine(long[0].n, long[0].at, text)

    def taken_back(self) -> tuple[AccountLine, ...]:
        """Return a line for each undo, with the steps that it took back or put back."""
        return tuple(self._undo(line) for line in self.lines if isinstance(line, ev.Undone))

    def _undo(self, line: ev.Undone) -> AccountLine:
        undone_lines = [self._by_n.get(n) for n in line.undoes]
        undone_before = [n for undo in undone_lines if isinstance(undo, ev.Undone) for n in undo.undoes]
        every_line = [*undone_lines, *map(self._by_n.get, undone_before)]
        steps = [text for step in every_line if (text := _step(step))]
        text = ("put back: " if undone_before else "") + (", ".join(steps) or "a step that cannot be read")
        text += "; its time was over by then" if line.held else ""
        return AccountLine(line.n, line.at, text, line.n not in self.stands)

    def _of(self, kinds: tuple[type, ...]) -> tuple[AccountLine, ...]:
        return tuple(self._line(line) for line in self.lines if isinstance(line, kinds))

    def _line(self, line: Line) -> AccountLine:
        correction = self._corrections.get(line.n)
        fate = "" if correction is None else "withdrawn" if _withdraws(correction) else "corrected"
        return AccountLine(line.n, line.at, self._text(line), line.n not in self.stands, fate)

    def _text(self, line: Line) -> str:
        match line:
            case ev.Temperature():
                return f"{line.source} {show_celsius(line.celsius)}, {origin(line.from_)}"
            case ev.Humidity():
                return f"humidity {line.percent:g} %, {origin(line.from_)}"
            case ev.ExposureSet():
                return f"exposure set: {_plan(line)}"
            case ev.WetTimeSet():
                text = "stays wet as estimated again" if line.seconds is None else ""
                return text or f"stays wet {say_duration(line.seconds or 0.0)}, typed by hand"
            case ev.Mark():
                return f"mark {self._marks[line.n]}" + self._words_about(line.n)
            case ev.Refused():
                return f"asked: {line.reason}" if line.asks else f"refused: {line.reason}"
            case ev.Resumed():
                return self._return(line)
            case ev.Clock():
                return _clock_change(line)
            case ev.Acknowledged():
                return f"acknowledged: {line.what}"
            case ev.Racked():
                return "on the rack"
            case ev.Moved():
                return self._moved(line)
            case Newer():
                return f"'{line.event}' from a newer darkroom"
        return self._review(line)

    def _words_about(self, n: int) -> str:
        """Return the words that stand about a mark, as ": dust; a drop"."""
        words = self._mark_words.get(n)
        return f": {'; '.join(words)}" if words else ""

    def _return(self, line: ev.Resumed) -> str:
        """Return how long the bench was left alone: "darkroom was closed for 2 min 17 s"."""
        was = "it was on the rack" if line.n in self._from_rack else "darkroom was closed"
        if line.by == "up":
            return f"{was} for {say_duration(line.gap)}"
        if line.gap <= 0:
            return f"{was}, for how long is not known: the computer was started again in between"
        return f"{was} for about {say_duration(line.gap)}: the computer was started again in between"

    def _moved(self, line: ev.Moved) -> str:
        moved_lines = [moved for n in line.moves if (moved := self._by_n.get(n)) is not None]
        from darkroom.bench.undo import named  # few plates have a moved strike

        what = named(moved_lines)
        direction = "earlier" if line.seconds < 0 else "later"
        reason = f": {line.reason}" if line.reason else ""
        return (
            f"{'a step' if what == 'nothing' else what} moved {say_duration(abs(line.seconds))} "
            f"{direction}{reason}"
        )

    def _review(self, line: Line) -> str:
        """Return a judgement in words; a correction names what it stands instead of."""
        text = self._judgement(line)
        corrects = getattr(line, "corrects", None)
        if corrects is None:
            return text
        corrected = self._by_n.get(corrects)
        earlier = "" if corrected is None else self._judgement(corrected).replace("\n", " ")
        quoted = f'"{earlier}"' if earlier else "an earlier judgement"
        reason = f": {line.reason}" if isinstance(line, ev.REVIEW) and line.reason else ""
        return f"{text} (instead of {quoted}{reason})" if text else f"withdrawn: {quoted}{reason}"

    def _judgement(self, line: Line) -> str:
        match line:
            case ev.Note():
                return note_text(line, self._marks)
            case ev.Fault():
                place = f", {line.where}" if line.where else ""
                return "; ".join([f"fault: {line.name}{place}", *fault_of(line).reasons])
            case ev.Rating():
                stars = _counted(f"{line.stars}", "star", line.stars) if line.stars is not None else ""
                x = line.exposure_stops
                stops = "next plate " + _counted(f"{x:+g}", "stop", x) if x is not None else ""
                best = f"best strip {line.best_strip}" if line.best_strip is not None else ""
                word = f"next plate {line.exposure_word}" if line.exposure_word is not None else ""
                nothing_else = "nothing else" if line.nothing_else not in (None, False) else ""
                return ", ".join(part for part in (stars, stops, word, best, nothing_else) if part)
            case ev.Detail():
                return f"{line.key}: {line.value}"
        return ""


def _withdraws(line: Line) -> bool:
    return isinstance(line, ev.Rating) and not rates(line)


def _step(line: Line | None) -> str | None:
    match line:
        case ev.LeadInStarted():
            return f"lead-in of {line.stage}"
        case ev.StageStarted():
            return f"{line.stage} begun"
        case ev.StageEnded():
            return f"{line.stage} ended"
        case ev.Cleared():
            return f"{line.stage} cleared"
        case ev.PlateEnded():
            return "finished"
    return None


def _clock_change(line: ev.Clock) -> str:
    size = say_duration(abs(line.seconds))
    if line.kind == "stepped":
        return f"the computer's clock was set {size} {'forward' if line.seconds > 0 else 'back'}"
    return f"the computer slept for {size}"


def _counted(number: str, noun: str, value: float) -> str:
    return f"{number} {noun}" if abs(value) == 1 else f"{number} {noun}s"


def _plan(line: ev.ExposureSet) -> str:
    text = plan_text(line.plan)
    parts = [] if text is None else [text]
    aperture = aperture_text(line.scene, line.aperture)
    scene = scene_text(None if line.scene is None else msgspec.structs.replace(line.scene, f_number=None))
    parts += [words for words in (aperture, scene) if words]
    return ", ".join(parts) or "until a press"

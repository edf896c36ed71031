"""Reading one file of a journal.

Nothing here locks, changes a file, or raises: what comes back are the good lines and a list of
problems, each with its file and line.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.bench.standing import Line
from darkroom.errors import LineError, Problem
from darkroom.log.journal.frame import frames_within, is_sound, why_unsound
from darkroom.log.journal.journal_names import plate_of
from darkroom.log.journal.plate_lines import READER
from darkroom.log.store.paths import printable

LARGEST = 64 << 20
"""A journal longer than this is read no further: a plate fills some thousand lines at most."""
FIRST_LINES = 1 << 18
"""The first lines of a journal are looked for in so many bytes: a process file has no more."""
MOST_ALIKE = 10
"""So many bad lines in a row are named each."""


class GoodLine(msgspec.Struct, frozen=True):
    """A good line: its event, its bytes without the LF, and the number of its line in the file."""

    event: Line
    frame: bytes
    line: int


class JournalFile(msgspec.Struct, frozen=True, kw_only=True):
    """One file of a journal as it was read.

    `whole_bytes` counts the bytes up to and with the last LF, `tail` is what follows it; `tail_good` says
    that the tail holds a whole frame and lacks only its LF. `saved` is what the `continued` line says.
    """

    path: Path
    k: int
    good_lines: tuple[GoodLine, ...] = ()
    whole_bytes: int = 0
    line_count: int = 0
    tail: bytes = b""
    tail_good: bool = False
    saved: int = 0
    home: str | None = None
    readable: bool = True
    problems: tuple[Problem, ...] = ()


def read_file(path: Path) -> JournalFile:
    """Read one file."""
    journal_name = plate_of(path)
    k = journal_name.k if journal_name else 1
    try:
        data, cut_off = bytes_of(path)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        problem = Problem(printable(path), None, None, f"cannot be read: {reason}")
        return JournalFile(path=path, k=k, readable=False, problems=(problem,))
    journal_file = scan(path, k, data)
    if cut_off:
        problem = Problem(
            printable(path), None, None, f"longer than {LARGEST >> 20} MB: the rest was not read"
        )
        journal_file = msgspec.structs.replace(
            journal_file, readable=False, problems=(*journal_file.problems, problem)
        )
    return journal_file


def bytes_of(path: Path) -> tuple[bytes, bool]:
    """Return the bytes of a journal, and whether there are more than are read. Raises OSError, ValueError."""
    data = plain_files.read_start(path, LARGEST + 1)
    return data[:LARGEST], len(data) > LARGEST


def scan(path: Path, k: int, data: bytes) -> JournalFile:
    """Return what the bytes of a journal's file hold; `k` is the file's number among its plate's."""
    whole_bytes = data.rfind(b"\n") + 1
    tail = data[whole_bytes:]
    good_lines: list[GoodLine] = []
    problems: list[Problem] = []
    name = printable(path)
    frames = data[:whole_bytes].split(b"\n")[:-1]
    events = READER.parse_all(frames)
    if events is not None:
        good_lines = list(map(GoodLine, events, frames, range(1, len(frames) + 1)))
    else:
        problems = _scan_lines(name, frames, good_lines)
    tail_good = False
    if tail:
        good_before = len(good_lines)
        tail_problems = _add_good_lines(name, len(frames) + 1, tail, good_lines)
        tail_good = len(good_lines) > good_before
        if tail_good:
            problems.extend(tail_problems)
    first_event = good_lines[0].event if good_lines else None
    continued = first_event if isinstance(first_event, ev.Continued) else None
    return JournalFile(
        path=path,
        k=k,
        good_lines=tuple(good_lines),
        whole_bytes=whole_bytes,
        line_count=len(frames),
        tail=tail,
        tail_good=tail_good,
        saved=continued.saved if continued else 0,
        home=continued.home if continued else None,
        problems=tuple(problems),
    )


def _scan_lines(name: str, frames: Sequence[bytes], good_lines: list[GoodLine]) -> list[Problem]:
    """Add the good events of all lines to `good_lines`; return what is wrong.

    Of bad lines in a row that are bad for one reason the first are named, the others counted: a file of
    line feeds alone has as many as bytes.
    """
    problems: list[Problem] = []
    alike: list[Problem] = []

    def end_row() -> None:
        problems.extend(alike[:MOST_ALIKE])
        more = len(alike) - MOST_ALIKE
        if more > 0:
            after = f"; so {'is the line' if more == 2 else f'are the {more - 1} lines'} after it"
            first = alike[MOST_ALIKE]
            problems.append(Problem(first.file, first.line, None, first.what + (after if more > 1 else "")))
        alike.clear()

    for number, line in enumerate(frames, 1):
        good_before = len(good_lines)
        found = _add_good_lines(name, number, line, good_lines)
        if len(found) != 1 or len(good_lines) > good_before or (alike and found[0].what != alike[0].what):
            end_row()
        if len(found) == 1 and len(good_lines) == good_before:
            alike.append(found[0])
        else:
            problems.extend(found)
    end_row()
    return problems


def _add_good_lines(name: str, number: int, line: bytes, good_lines: list[GoodLine]) -> list[Problem]:
    """Add the good events of one line to `good_lines`; return what is wrong with it."""
    if is_sound(line):
        frames, problems = [line], []
    else:
        frames = [frame for _, frame in frames_within(line)]
        inside = f"; {len(frames)} good inside it" if frames else ""
        problems = [Problem(name, number, None, why_unsound(line) + inside)]
        if frames and b"".join(frames) == line:
            problems = [Problem(name, number, None, "several lines run together; all are good")]
    for frame in frames:
        try:
            good_lines.append(GoodLine(READER.parse(frame), frame, number))
        except LineError as error:
            problems.append(Problem(name, number, None, f"the sum is right, the event is not: {error}"))
    return problems

"""One bit of a journal flipped, or its end cut off: exactly which lines are good then and which named."""

from __future__ import annotations

from pathlib import Path

from darkroom.log.journal.read import JournalFile, scan

LF = 0x0A
Line = tuple[int, bytes]
"""The number of a line as it is told, and its frame without the LF."""


def after_flip(path: Path, data: bytes, place: int, bit: int) -> str | None:
    """Return what is wrong with a sound journal as it is read after the flip of a bit, or None.

    Only the line of the byte is damaged. A byte that becomes a line feed makes two bad lines of it; a line
    feed that becomes another byte harms no frame: the two lines beside it are one that holds both.
    """
    damaged = bytearray(data)
    damaged[place] ^= 1 << bit
    frames = data.split(b"\n")[:-1]
    hit = data.count(b"\n", 0, place) + 1
    named = [hit]
    if data[place] == LF:
        good = [(number - (number > hit), frame) for number, frame in enumerate(frames, 1)]
    else:
        is_split = damaged[place] == LF
        named += [hit + 1] if is_split else []
        good = [
            (number + (is_split and number > hit), frame)
            for number, frame in enumerate(frames, 1)
            if number != hit
        ]
    return _differs(scan(path, 1, bytes(damaged)), good, named)


def after_cut(path: Path, data: bytes, length: int) -> str | None:
    """Return what is wrong with a sound journal as it is read when it ends after `length` bytes, or None.

    Whole lines are good, and a last one that lacks nothing but its LF; the rest of a line is no problem yet.
    """
    *complete, tail = data[:length].split(b"\n")
    read = scan(path, 1, data[:length])
    is_whole = tail in data.split(b"\n")[:-1]
    good = list(enumerate([*complete, tail] if is_whole else complete, 1))
    if (read.tail, read.tail_good) != (tail, is_whole):
        return f"the torn line is not told from the whole ones: {read.tail[:40]!r}"
    return _differs(read, good, [])


def _differs(read: JournalFile, good: list[Line], named: list[int]) -> str | None:
    found = [(line.line, line.frame) for line in read.good_lines]
    if found != good:
        return f"good lines are {[number for number, _ in found]}, not {[number for number, _ in good]}"
    told = [problem.line for problem in read.problems]
    return None if told == named else f"named are {told}, not {named}"

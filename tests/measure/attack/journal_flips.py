"""Every bit of a sample journal flipped, and every truncation: what is damaged is named, all else is read."""

from __future__ import annotations

from pathlib import Path

from darkroom.log.journal.read import JournalFile, scan
from tests.measure.attack.attempts import Attempts

SAMPLES = sorted((Path(__file__).parents[2] / "fixtures" / "journals" / "plates").rglob("*.jsonl"))


def attack(short: bool) -> Attempts:
    """Flip bits of one journal (one in each seventh byte in the short form), and cut it after each byte."""
    attempts = Attempts()
    path = max(SAMPLES, key=lambda sample: len({*sample.read_bytes().splitlines()}))
    data = path.read_bytes()
    whole = scan(path, 1, data)
    attempts.expect(not whole.problems and len(whole.good_lines) > 5, f"{path.name} is no sample")
    for place in range(0, len(data), 7 if short else 1):
        for bit in range(1 if short else 8):
            mutated = bytearray(data)
            mutated[place] ^= 1 << bit
            wrong = _after_flip(whole, scan(path, 1, bytes(mutated)), place, data)
            attempts.expect(wrong is None, f"byte {place}, bit {bit}: {wrong}")
    for length in range(0, len(data), 7 if short else 1):
        wrong = _after_cut(whole, scan(path, 1, data[:length]), data[:length])
        attempts.expect(wrong is None, f"cut after {length} bytes: {wrong}")
    return attempts


def _after_flip(whole: JournalFile, read: JournalFile, place: int, data: bytes) -> str | None:
    """Return what is wrong with a journal as read after the byte at `place` was changed, or None."""
    line = data.count(b"\n", 0, place) + 1
    expected = {good.frame for good in whole.good_lines}
    found = {good.frame for good in read.good_lines}
    if not found <= expected:
        return "a line that was never written is called good"
    lost = [good.line for good in whole.good_lines if good.frame not in found]
    if any(number != line for number in lost):
        return f"line {line} was damaged, lines {lost} are lost"
    named = [problem.line for problem in read.problems]
    is_tail = place == len(data) - 1 and read.tail != b""
    if not (named and min(abs((number or 0) - line) for number in named) <= 1) and not is_tail:
        return f"line {line} was damaged, named are {named}"
    return None


def _after_cut(whole: JournalFile, read: JournalFile, data: bytes) -> str | None:
    """Return what is wrong with a journal as read when it ends early, or None."""
    lines = data.split(b"\n")
    complete = len(lines) - 1
    good = [good_line.frame for good_line in read.good_lines]
    if good[:complete] != [line.frame for line in whole.good_lines[:complete]]:
        return "a whole line is lost"
    if read.tail != lines[-1]:
        return "the torn line is not told from the whole ones"
    if len(good) > complete and not read.tail_good:
        return "a torn line is called good"
    return "a cut is called damage" if read.problems else None

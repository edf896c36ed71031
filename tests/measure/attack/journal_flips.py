"""Every bit of a sample journal flipped, and every truncation: exactly what is damaged is named."""

from __future__ import annotations

from pathlib import Path

from darkroom.log.journal.read import scan
from tests.kit.flipped_bits import after_cut, after_flip
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
        for bit in [place % 8] if short else range(8):
            wrong = after_flip(path, data, place, bit)
            attempts.expect(wrong is None, f"byte {place}, bit {bit}: {wrong}")
    for length in range(0, len(data) + 1, 7 if short else 1):
        wrong = after_cut(path, data, length)
        attempts.expect(wrong is None, f"cut after {length} bytes: {wrong}")
    return attempts

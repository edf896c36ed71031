"""Several plates at the bench whose lines wait for a disk that fails, a signal, and what is told of each."""

from __future__ import annotations

import re
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass

from darkroom.bench import events as ev
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import PlateLog, read_plate
from tests.kit.failing_disk import FailingDisk
from tests.kit.leaving import Leaving
from tests.kit.letters import reads
from tests.kit.photographer import Photographer
from tests.kit.plates_in_a_row import LIKE_THE_LAST, THREE_STEPS
from tests.kit.terminal import PATIENCE

PLATES = 6
LINES = 3
"""Lines of each plate at least: its beginning, its first stage, a mark."""
_SEQUENCES = re.compile(rb"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\))")
_TOLD = re.compile(r"plate (\d+): (\d+) lines? (?:is|are) not in the journal")
_LINE = re.compile(r'\{"n":\d+,.*"sum":"\w+"\}')


@dataclass(frozen=True)
class LeftMany:
    """How the tool left: status, seconds, {plate: lines told of}, {plate: its lines that were printed}."""

    status: int
    seconds: float
    told: dict[int, int]
    printed: dict[int, int]


class LeavingMany(Leaving):
    """A log of its own in `folder`, and `PLATES` plates of it at the bench, each with a mark."""

    def leave_all(self, disk: FailingDisk, number: signal.Signals) -> LeftMany:
        """Let the disk fail, begin the plates, send the signal; return how the tool left."""
        process = self.folder / "steps.yaml"
        process.write_text(THREE_STEPS, encoding="utf-8")
        hand = self._hand(disk.env)
        with hand.terminal as terminal:
            hand.open("bench", str(process))
            disk.fail()
            for plate in range(1, PLATES + 1):
                hand.press("space")
                hand.wait(_says("Press when pour is done."))
                hand.press("6")
                hand.wait("marked" if plate == 1 else f"plate {plate}: marked")
                if plate < PLATES:
                    _next_plate(hand, plate)
            before = len(terminal.data)
            start = time.monotonic()
            terminal.kill(number)
            assert terminal.process is not None
            status = terminal.process.wait(PATIENCE)
            seconds = time.monotonic() - start
            terminal.read_rest()
            return LeftMany(status, seconds, *_told(terminal.data[before:]))

    def open_again(self) -> list[PlateLog]:
        """Start the tool with a disk that works; return the plates when all have come back."""
        hand = self._hand({})
        with hand.terminal as terminal:
            hand.open()
            terminal.wait_until(lambda: sum(map(_has_come_back, self._plates())) == PLATES)
        return self._plates()

    def _plates(self) -> list[PlateLog]:
        return [read_plate(path) for path in find_plates(self.home, None)]


def is_whole(log: PlateLog) -> bool:
    """Return whether a plate has its mark, and every number up to its last line."""
    marks = sum(isinstance(event, ev.Mark) for event in log.events)
    return marks == 1 and {event.n for event in log.events} == set(range(1, log.last_n + 1))


def _has_come_back(log: PlateLog) -> bool:
    return any(isinstance(event, ev.Resumed) for event in log.events)


def _next_plate(hand: Photographer, plate: int) -> None:
    """Put a further plate on the bench; `plate` then stands in the row of the others."""
    hand.press("escape")
    hand.wait(LIKE_THE_LAST)
    hand.press("space")
    hand.wait(lambda screen: LIKE_THE_LAST not in screen and f"{plate} pour" in screen)


def _says(sentence: str) -> Callable[[str], bool]:
    """Return whether a screen has a sentence, in plain text or in large letters."""
    return lambda screen: reads(sentence, screen) or reads(sentence.upper(), screen)


def _told(data: bytes) -> tuple[dict[int, int], dict[int, int]]:
    """Return {plate: lines that are told of} and {plate: lines that follow, as they are}."""
    told: dict[int, int] = {}
    printed: dict[int, int] = {}
    plate = 0
    for line in _SEQUENCES.sub(b"", data).decode("utf-8", "replace").splitlines():
        if (said := _TOLD.search(line)) is not None:
            plate = int(said[1])
            told[plate] = int(said[2])
        elif _LINE.search(line) is not None:
            printed[plate] = printed.get(plate, 0) + 1
    return told, printed

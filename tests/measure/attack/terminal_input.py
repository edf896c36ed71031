"""Bytes that no terminal should send: to the parser in volume, and in a terminal with marks among them."""

from __future__ import annotations

import random
import tempfile
from contextlib import suppress
from pathlib import Path
from unittest import mock

import textual._parser
from textual import events

from darkroom.screens.bench.rail import SILENT
from darkroom.screens.red.driver import INPUT_MESSAGES
from darkroom.screens.red.input_parser import PASTE_PAUSE, InputParser
from tests.kit.stopped_tool import MARK, StoppedTool
from tests.kit.terminal_noise import KNOWN, MALFORMED, mutated
from tests.measure.attack.attempts import Attempts

SEQUENCES = (5_000, 100_000)
"""Mutated sequences for the parser: in the short form, in the long one."""
MARKS = (8, 200)
"""Marks in the terminal, each after `NOISE` sequences in the same write."""
NOISE = 50
PLAYER_ANSWERS = 15.0
"""Seconds after which a player that can play nothing has said so or was found dead, on a busy machine too."""


class _Clock:
    """Seconds, moved by hand."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


def attack(short: bool) -> Attempts:
    """Count sequences after which the next key is not the next key, and marks that are not saved."""
    attempts = Attempts()
    rng = random.Random(11)
    _parse(attempts, rng, SEQUENCES[0 if short else 1])
    _in_a_terminal(attempts, rng, MARKS[0 if short else 1])
    return attempts


def _parse(attempts: Attempts, rng: random.Random, count: int) -> None:
    """Feed every byte, each pair with a lead byte, and `count` mutated sequences; a strike follows each."""
    clock = _Clock()
    single = [bytes([n]) for n in range(256)]
    pairs = [bytes([first, second]) for first in range(0xC0, 0x100) for second in range(0x20, 0x100, 7)]
    sequences = [*single, *pairs, *KNOWN, *MALFORMED, *(mutated(rng) for _ in range(count))]
    failures: list[str] = []
    with mock.patch.object(textual._parser, "get_time", clock):
        parser = InputParser(clock)
        for data in sequences:
            try:
                list(parser.read(data))
                for _ in range(2):
                    clock.now += PASTE_PAUSE + 0.1
                    list(parser.tick())
                if _keys(parser, b"x")[-1:] != ["x"]:
                    failures.append(f"the key after {data!r} did not arrive")
            except Exception as error:
                failures.append(f"{data!r} raised {type(error).__name__}: {error}")
                parser = InputParser(clock)
            clock.now += 1.0
    attempts.many(len(sequences), failures)


def _keys(parser: InputParser, data: bytes) -> list[str]:
    """Return the names of the keys that reach the application."""
    arrived = [message for message in parser.read(data) if isinstance(message, INPUT_MESSAGES)]
    return [message.key for message in arrived if isinstance(message, events.Key)]


def noise(rng: random.Random, count: int) -> list[bytes]:
    """Return sequences that are no key and leave the next key in the same write what it is."""
    found: list[bytes] = []
    while len(found) < count:
        data = mutated(rng) if rng.random() < 0.7 else bytes([rng.randrange(0x80, 0x100)])
        if _keys(InputParser(), data + MARK.encode()) == [MARK]:
            found.append(data)
    return found


def _wait_for_player(tool: StoppedTool) -> None:
    """Wait until the tool has told that there is no sound; where it never does, there is sound.

    A player that starts late would change the row of keys by itself in the middle of the attack.
    """
    with suppress(TimeoutError):
        tool.terminal.wait_until(lambda: tool.still_rows()[-1].rstrip().endswith(SILENT), PLAYER_ANSWERS)


def _in_a_terminal(attempts: Attempts, rng: random.Random, marks: int) -> None:
    """Write noise and a mark at once, again and again: each mark is saved, and nothing else changes."""
    with tempfile.TemporaryDirectory() as folder:
        tool = StoppedTool(Path(folder))
        with tool.terminal:
            tool.open()
            _wait_for_player(tool)
            threads = tool.threads()
            said = tool.still_rows()[-1]
            for _ in range(marks):
                sequences = noise(rng, NOISE)
                pieces = b"".join(sequences)
                alone = _keys(InputParser(), pieces + MARK.encode()) == [MARK]
                saved = tool.mark(pieces if alone else sequences[0])
                attempts.many(NOISE if alone else 1, [] if saved else [f"no one mark after {sequences!r}"])
            now = tool.still_rows()[-1]
            attempts.expect(now == said, f"said: {now!r}, not {said!r}")
            attempts.expect(tool.threads() == threads, f"threads: {tool.threads()}, not {threads}")

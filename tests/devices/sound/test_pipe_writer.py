"""The pipe to the player: what it refuses waits, and the caller never does."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator

import pytest

from darkroom.devices.sound.pipe_writer import Pipe


@pytest.fixture
def ends() -> Iterator[tuple[int, int]]:
    """A pipe's reading and writing descriptors."""
    reading, writing = os.pipe()
    os.set_blocking(reading, False)
    yield reading, writing
    os.close(reading)
    os.close(writing)


def drain(reading: int) -> bytes:
    """Return everything that is in the pipe."""
    found = b""
    while True:
        try:
            found += os.read(reading, 1 << 16)
        except BlockingIOError:
            return found


def test_lines_arrive_in_order(ends: tuple[int, int]) -> None:
    """The first line comes first, then the others as they were sent."""
    pipe = Pipe()
    pipe.open(ends[1], b"first\n")
    pipe.send(b"a\n", time.monotonic() + 1)
    pipe.send_latest(b"set\n")
    pipe.send(b"b\n", time.monotonic() + 1)
    assert drain(ends[0]) == b"first\na\nset\nb\n"


def test_a_full_pipe_keeps_only_the_newest_set(ends: tuple[int, int]) -> None:
    """Sets that could not be sent replace each other; no line is torn when there is room again."""
    pipe = Pipe()
    pipe.open(ends[1], b"first\n")
    big = b"x" * 50_000
    for number in range(40):
        pipe.send_latest(b"%d" % number + big + b"\n")
    got = drain(ends[0])
    while True:
        pipe.flush(0.05)
        more = drain(ends[0])
        if not more:
            break
        got += more
    lines = got.split(b"\n")
    assert lines[0] == b"first" and lines[-1] == b""
    numbers = [int(line[: -len(big)]) for line in lines[1:-1]]
    assert numbers == sorted(numbers) and numbers[-1] == 39 and len(numbers) < 40
    assert all(line.endswith(big) for line in lines[1:-1])


def test_late_lines_are_not_sent(ends: tuple[int, int]) -> None:
    """A line that waited past its time is left out."""
    pipe = Pipe()
    pipe.send(b"old\n", time.monotonic() - 1)
    pipe.send(b"new\n", time.monotonic() + 5)
    pipe.open(ends[1], b"first\n")
    assert drain(ends[0]) == b"first\nnew\n"


def test_too_many_waiting_lines_are_refused() -> None:
    """Without a player only so many lines wait; more are refused, not kept for ever."""
    pipe = Pipe()
    sent = [pipe.send(b"x\n", time.monotonic() + 5) for _ in range(100)]
    assert sent.count(True) == 64


def test_a_dead_reader_is_no_error() -> None:
    """Writing to a player that is gone raises nothing."""
    reading, writing = os.pipe()
    pipe = Pipe()
    pipe.open(writing, b"first\n")
    os.close(reading)
    assert pipe.send(b"x\n", time.monotonic() + 1)
    pipe.send_latest(b"y\n")
    os.close(writing)


def test_a_line_that_waited_too_long_is_told(ends: tuple[int, int]) -> None:
    """What is left out because it waited past its time is handed back to be told."""
    late: list[bytes] = []
    pipe = Pipe(late.append)
    pipe.send(b"old\n", time.monotonic() - 1)
    pipe.open(ends[1], b"first\n")
    assert late == [b"old\n"]

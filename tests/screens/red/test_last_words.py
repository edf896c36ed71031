"""The last words on a terminal: in order, and nobody waits long for one that has stalled."""

from __future__ import annotations

import os
import pty
import sys
import threading
import time
from collections.abc import Callable

import pytest

from darkroom.screens.red.last_words import PIECE, LastWords

LONG = "x" * 200_000
"""More than a pipe takes at once."""
A_LITTLE = 4096
"""Bytes that are read off a terminal whose room is used up."""


class _CountedTime(threading.Condition):
    """Waits until something holds, or until `now` seconds are over that only the test counts."""

    now = 0.0

    def wait_for(self, predicate: Callable[[], bool], timeout: float | None = None) -> bool:
        """Return whether it holds; false only when so much was counted before it did."""
        end = float("inf") if timeout is None else self.now + timeout
        super().wait_for(lambda: predicate() or self.now >= end)
        return predicate()

    def count(self, seconds: float) -> None:
        """Let time pass."""
        with self:
            self.now += seconds
            self.notify_all()


def _wait_until(condition: Callable[[], bool]) -> None:
    end = time.monotonic() + 20
    while not condition():
        assert time.monotonic() < end, "it never came true"
        time.sleep(0.01)


def test_lines_come_whole_and_in_order() -> None:
    """Each line has left when it was said."""
    end, fd = os.pipe()
    words = LastWords(fd)
    for text in ("one", "zwölf", "three\udcff"):
        words.say(text)
    assert os.read(end, 4096) == "one\nzwölf\nthree?\n".encode()
    os.close(end)
    words.say("nobody reads this")  # and nothing is raised


def test_a_terminal_that_takes_nothing_is_left_and_gets_all_when_it_takes_something() -> None:
    """Long lines that nothing reads hold nobody up; when they are read none is missing or cut."""
    end, fd = os.pipe()
    words = LastWords(fd, patience=0.2)
    said = threading.Event()

    def say() -> None:
        for _ in range(50):
            words.say(LONG)
        said.set()

    threading.Thread(target=say, daemon=True).start()
    assert said.wait(20)
    data, wanted = b"", 50 * (len(LONG) + 1)
    while len(data) < wanted:
        data += os.read(end, 1 << 16)
    assert data == (LONG + "\n").encode() * 50


def test_a_terminal_that_takes_piece_by_piece_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where each piece takes a part of the patience, a line has left when it was said, however long it is."""
    words, counted, taken = LastWords(0, patience=2.0), _CountedTime(), bytearray()
    monkeypatch.setattr(words, "_change", counted)
    sizes: list[int] = []

    def write(_: int, data: bytes) -> int:
        counted.count(1.5)
        sizes.append(len(data))
        taken.extend(data)
        return len(data)

    monkeypatch.setattr(os, "write", write)
    for name in ("first", "second"):
        line = f"{name} {LONG}"
        words.say(line)
        assert words.taken == len(taken)
        assert taken.decode().endswith(line + "\n")
    assert max(sizes) == PIECE


def test_a_terminal_that_takes_something_again_is_waited_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stall uses up the patience; with the next piece that is taken it is whole again."""
    words, counted, taken = LastWords(0, patience=2.0), _CountedTime(), bytearray()
    monkeypatch.setattr(words, "_change", counted)
    reads = threading.Event()

    def write(_: int, data: bytes) -> int:
        counted.count(1.5 if reads.is_set() else 3.0)
        assert reads.wait(20)
        taken.extend(data)
        return len(data)

    monkeypatch.setattr(os, "write", write)
    words.say("one")
    words.say("two")
    assert not taken
    reads.set()
    _wait_until(lambda: words.taken > 0)
    words.say(LONG)
    assert taken.decode() == f"one\ntwo\n{LONG}\n"


@pytest.mark.skipif(sys.platform == "win32", reason="there are no pseudo-terminals")
def test_a_little_that_is_read_off_a_full_terminal_is_seen() -> None:
    """A pseudo-terminal whose room is used up takes more as soon as a little of it is read."""
    master, fd = pty.openpty()
    words, line = LastWords(fd, patience=60.0), "y" * 1000
    said = threading.Event()

    def say() -> None:
        for _ in range(60):
            words.say(line)
        said.set()

    threading.Thread(target=say, daemon=True).start()
    data, wanted = b"", 60 * (len(line) + 2)
    while len(data) < wanted:
        before, least = words.taken, len(data) + A_LITTLE
        while len(data) < min(least, wanted):
            data += os.read(master, 256)
            time.sleep(0.002)  # a fast reader empties what the system holds, and that wakes every write
        _wait_until(lambda before=before: words.taken > before or said.is_set())
    assert said.wait(20)
    assert data == (line + "\r\n").encode() * 60
    os.close(master)
    os.close(fd)

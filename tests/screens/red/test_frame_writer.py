"""The writer before a terminal that stops reading: controls are sent, frames dropped, nobody waits."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator

import pytest

from darkroom.screens.red.frame_writer import MOST_FRAMES, FrameWriter


class Reader:
    """The reading end of a pipe, and a writer on the other."""

    def __init__(self) -> None:
        """Read nothing yet."""
        self.fd, self.other = os.pipe()
        self.caught_up = threading.Semaphore(0)
        self.writer = FrameWriter(self.other, str.encode, self.caught_up.release)
        self.data = b""

    def read_until(self, ending: bytes) -> bytes:
        """Read until `ending` has come; return everything so far."""
        while not self.data.endswith(ending):
            self.data += os.read(self.fd, 65536)
        return self.data


@pytest.fixture
def reader() -> Iterator[Reader]:
    """Return a reader that has read nothing."""
    reader = Reader()
    yield reader
    for fd in (reader.fd, reader.other):
        os.close(fd)


def _stall(reader: Reader) -> str:
    """Send a frame longer than the pipe holds, then as many as may wait; return the long one."""
    long = "a" * 200_000
    assert reader.writer.frame(long)
    assert reader.data == b""
    reader.data = os.read(reader.fd, 1)  # the long one is being sent now
    return long


def test_pieces_are_sent_in_order(reader: Reader) -> None:
    """Controls and frames leave in the order in which they came."""
    for n in range(5):
        assert reader.writer.frame(f"frame {n}.")
        reader.writer.control(f"control {n}.")
    assert reader.read_until(b"control 4.") == b"".join(f"frame {n}.control {n}.".encode() for n in range(5))


def test_frames_are_dropped_and_controls_kept_while_nothing_is_read(reader: Reader) -> None:
    """A stalled terminal: the frame begun is completed, every control follows, no other frame does."""
    long = _stall(reader)
    taken = [reader.writer.frame(f"<frame {n}>") for n in range(MOST_FRAMES + 500)]
    assert taken == [True] * MOST_FRAMES + [False] * 500
    for n in range(3):
        reader.writer.control(f"<control {n}>")
    assert not reader.writer.frame("<dropped too>")
    assert not reader.caught_up.acquire(blocking=False)
    assert reader.read_until(b"<control 2>") == (long + "<control 0><control 1><control 2>").encode()


def test_the_owner_is_asked_once_to_paint_everything(reader: Reader) -> None:
    """When all is sent the owner is asked; frames are dropped until it accepts them again."""
    _stall(reader)
    for n in range(MOST_FRAMES + 1):
        reader.writer.frame(f"<frame {n}>")
    reader.writer.control("<end>")
    reader.read_until(b"<end>")
    assert reader.caught_up.acquire(timeout=10)
    assert not reader.writer.frame("<still behind>")
    reader.writer.control("<between>")
    reader.read_until(b"<between>")
    assert not reader.caught_up.acquire(blocking=False)
    reader.writer.accept_frames()
    assert reader.writer.frame("<everything>")
    assert reader.read_until(b"<everything>").endswith(b"<end><between><everything>")


def test_closing_sends_what_waits(reader: Reader) -> None:
    """What was written before closing is sent; what comes after is not taken."""
    reader.writer.control("<leave>")
    assert reader.writer.close(10)
    assert not reader.writer.frame("late")
    assert reader.read_until(b"<leave>") == b"<leave>"


def test_closing_waits_no_longer_than_told(reader: Reader) -> None:
    """A terminal that never reads again does not hold up the end."""
    long = _stall(reader)
    assert not reader.writer.close(0.01)
    assert reader.read_until(long.encode())


def test_a_terminal_that_is_gone_takes_everything() -> None:
    """After an error nothing raises and nothing is kept."""
    ours, theirs = os.pipe()
    os.close(ours)
    writer = FrameWriter(theirs, str.encode, lambda: None)
    writer.control("x")
    assert writer.close(10)
    writer.control("y")
    assert not writer.frame("z")
    os.close(theirs)

"""The wait of the input thread: as long as nothing is typed, ended by the bell, short while time decides."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator

import pytest

from darkroom.screens.red.input_parser import InputParser
from darkroom.screens.red.input_wait import Bell, InputWait


@pytest.fixture
def typed() -> Iterator[tuple[int, int]]:
    """Return a pipe in place of a terminal: what is read, and what is typed into."""
    ends = os.pipe()
    yield ends
    for fd in ends:
        os.close(fd)


@pytest.fixture
def bell() -> Iterator[Bell]:
    """Return a bell that is closed afterwards."""
    bell = Bell()
    yield bell
    bell.close()


def looks(wait: InputWait, bell: Bell, awaits_time: bool = False) -> tuple[threading.Thread, list[bool]]:
    """Return a thread that waits until the bell is rung, and what each of its waits found."""
    found: list[bool] = []

    def work() -> None:
        while not bell.is_set():
            found.append(wait.is_readable(awaits_time))

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    return thread, found


def test_a_thread_that_waits_does_not_look_up(typed: tuple[int, int], bell: Bell) -> None:
    """While nothing is typed the wait goes on, and the bell ends it at once: one wait, nothing to read."""
    with InputWait(typed[0], bell) as wait:
        thread, found = looks(wait, bell)
        thread.join(0.5)
        assert found == [] and thread.is_alive()
        bell.set()
        thread.join(5.0)
        assert not thread.is_alive()
    assert found == [False]


def test_a_wait_has_an_end_where_time_decides(typed: tuple[int, int], bell: Bell) -> None:
    """After an escape that may begin a sequence the thread looks again, though nothing more is typed."""
    with InputWait(typed[0], bell) as wait:
        assert wait.is_readable(awaits_time=True) is False


def test_what_is_typed_ends_the_wait_and_so_does_the_end_of_the_terminal(bell: Bell) -> None:
    """Both are something to read."""
    ours, theirs = os.pipe()
    with InputWait(ours, bell) as wait:
        os.write(theirs, b" ")
        assert wait.is_readable(False) and os.read(ours, 10) == b" "
        os.close(theirs)
        assert wait.is_readable(False) and os.read(ours, 10) == b""
    os.close(ours)


def test_a_bell_that_was_cleared_rings_again(typed: tuple[int, int], bell: Bell) -> None:
    """The terminal is given back and taken again many times: each wait is ended by its own ringing alone."""
    with InputWait(typed[0], bell) as wait:
        for _ in range(3):
            bell.set()
            bell.set()
            assert wait.is_readable(False) is False and bell.is_set()
            bell.clear()
            assert not bell.is_set()
            os.write(typed[1], b"x")
            assert wait.is_readable(False) and os.read(typed[0], 1) == b"x"


def test_a_closed_bell_can_be_set_and_closed_again() -> None:
    """The toolkit sets it once more when it ends; nothing of another file's is written to."""
    bell = Bell()
    bell.close()
    bell.close()
    bell.set()
    bell.clear()
    assert not bell.is_set()


@pytest.mark.parametrize(
    ("data", "awaits"),
    [
        (b"a", False),
        (b"\x1b", True),
        (b"\x1b[", True),
        (b"\x1b[A", False),
        (b"\x1b[200~x", True),
        (b"\xc3", False),
    ],
)
def test_the_parser_says_whether_time_decides(data: bytes, awaits: bool) -> None:
    """It does for a lone escape, a sequence without its end and a paste that goes on; for nothing else."""
    parser = InputParser()
    list(parser.read(data))
    assert parser.awaits_time is awaits

"""The last words on a terminal: in order, and nobody waits long for one that has stalled."""

from __future__ import annotations

import os
import threading

from darkroom.screens.red.last_words import LastWords

LONG = "x" * 200_000
"""More than a pipe takes at once."""


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

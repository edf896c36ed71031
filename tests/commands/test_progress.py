"""The line that says how far a long command is, with a clock of the test's own."""

from __future__ import annotations

import io

import pytest

from darkroom.commands.progress import Progress


class Screen(io.StringIO):
    """Standard error that is a terminal."""

    def isatty(self) -> bool:
        """Be one."""
        return True


def test_what_is_done_within_a_second_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many there are, a short command writes no line."""
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    now = [0.0]
    progress = Progress(clock=lambda: now[0])
    for done in range(1, 10_001):
        now[0] = done * 0.99e-4
        progress(done, 10_000)
    assert screen.getvalue() == ""


def test_what_takes_longer_is_said_and_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a second there is a line, at most ten a second; the last one ends the row."""
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    now = [0.0]
    progress = Progress("reading", clock=lambda: now[0])
    for done in range(1, 201):
        now[0] = done * 0.01
        progress(done, 200)
    assert screen.getvalue().startswith("\rreading: 100 of 200")
    assert screen.getvalue().endswith("\rreading: 200 of 200\n")
    assert 10 <= screen.getvalue().count("\r") <= 12


def test_nothing_is_said_where_nobody_looks(capsys: pytest.CaptureFixture[str]) -> None:
    """Standard error that is no terminal stays free of it."""
    now = [0.0]
    progress = Progress(clock=lambda: now[0])
    now[0] = 5.0
    progress(1, 2)
    assert capsys.readouterr().err == ""

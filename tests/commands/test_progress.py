"""The line that says how far a long command is, with a clock of the test's own."""

from __future__ import annotations

import errno
import io
from itertools import groupby
from pathlib import Path

import pytest

from darkroom.cli import main
from darkroom.commands import progress
from darkroom.commands.progress import Progress
from darkroom.log.store import durable


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
    shown = Progress(clock=lambda: now[0])
    for done in range(1, 10_001):
        now[0] = done * 0.99e-4
        shown(done, 10_000)
    assert screen.getvalue() == ""


def test_what_takes_longer_is_said_and_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a second there is a line, at most ten times a second; it ends with the work."""
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    now = [0.0]
    with Progress(clock=lambda: now[0]) as shown:
        for done in range(1, 201):
            now[0] = done * 0.01
            shown(done, 200)
        assert screen.getvalue().startswith("\rreading journals: 100 of 200")
        assert screen.getvalue().endswith("\rreading journals: 200 of 200")
    assert screen.getvalue().endswith("200 of 200\n")
    assert 10 <= screen.getvalue().count("\r") <= 12


def test_a_line_is_ended_when_the_work_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is said of a failure, or of an interruption, begins on a line of its own, ended once."""
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    for error in (OSError, KeyboardInterrupt):
        now = [0.0]
        with pytest.raises(error), Progress(clock=lambda now=now: now[0]) as shown:
            now[0] = 2.0
            shown(3, 9)
            raise error
    with pytest.raises(OSError), Progress() as shown:
        shown(3, 9)
        raise OSError
    assert screen.getvalue() == "\rreading journals: 3 of 9\n" * 2


def test_steps_share_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second step is written over the first, and nothing of a longer text is left beside it."""
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    now = [0.0]
    with Progress(clock=lambda: now[0]) as shown:
        now[0] = 2.0
        shown.step("filling the catalogue")(5000, 5000)
        shown.step("reading journals")(1, 3)
        now[0] = 3.0
        shown(2, 3)
        shown(3, 3)
    assert screen.getvalue() == (
        "\rfilling the catalogue: 5000 of 5000"
        "\rreading journals: 2 of 3           "
        "\rreading journals: 3 of 3\n"
    )


@pytest.mark.parametrize(
    ("words", "steps"),
    [
        (
            ("export", "csv", "--find", "stars:..5", "--to", "a.csv"),
            ["filling the catalogue", "reading journals"],
        ),
        (("export", "html", "--all", "--to", "a.html"), ["reading journals"]),
        (("export", "xmp", "--all", "--to", "sidecars"), ["reading journals", "writing files"]),
        (("check",), ["reading journals"]),
        (("list",), ["reading journals"]),
        (("reindex",), ["reading journals"]),
        (("trends",), ["reading journals"]),
    ],
)
def test_a_command_has_one_line_of_progress(
    plates: list[Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    words: tuple[str, ...],
    steps: list[str],
) -> None:
    """Each step is told once and to its end, all on one line that is ended before anything else is said."""
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "AFTER", 0.0)
    monkeypatch.setattr(progress, "EVERY", 0.0)
    assert main(["log", *words]) == 0
    line, _, rest = screen.getvalue().partition("\n")
    assert "\r" not in rest
    told = [state.rstrip().partition(": ") for state in line.split("\r")[1:]]
    assert [what for what, _ in groupby(what for what, _, _ in told)] == steps
    for step in steps:
        counts = [[int(number) for number in count.split(" of ")] for what, _, count in told if what == step]
        assert counts == sorted(counts)
        assert counts[-1][0] == counts[-1][1] >= len(plates) // 2


def test_a_failing_command_ends_its_line(
    plates: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fails while files are written is told on a line of its own."""

    def fail(fd: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.setattr(progress, "AFTER", 0.0)
    monkeypatch.setattr(durable, "sync", fail)
    assert main(["log", "export", "csv", "--all", "--to", str(tmp_path / "a.csv")]) == 1
    assert screen.getvalue().splitlines()[-1].startswith("darkroom: ")
    assert "\rreading journals: " in screen.getvalue()


def test_nothing_is_said_where_nobody_looks(capsys: pytest.CaptureFixture[str]) -> None:
    """Standard error that is no terminal stays free of it."""
    now = [0.0]
    shown = Progress(clock=lambda: now[0])
    now[0] = 5.0
    shown(1, 2)
    assert capsys.readouterr().err == ""

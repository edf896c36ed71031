"""Ctrl-c while the rooms are read: the process ends at once, and nothing is printed in white letters."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.kit import interrupted_run
from tests.kit.terminal import Terminal

pytestmark = pytest.mark.system
RUN = (sys.executable, interrupted_run.__file__)
TOLD_BY_A_SHELL = 128 + signal.SIGINT


@pytest.mark.parametrize(
    ("module", "words"),
    [
        ("darkroom.surroundings", ()),
        ("darkroom.screens.start", ()),
        ("darkroom.screens.red.terminal", ()),
        ("textual.app", ()),
        ("darkroom.surroundings", ("bench", "clear-glass")),
        ("click", ("bench", "clear-glass")),
        ("darkroom.commands.groups", ("log", "list")),
        ("textual.app", ("bench", "clear-glass")),
    ],
)
def test_an_interrupt_before_the_first_frame_ends_without_a_trace(
    tmp_path: Path, module: str, words: tuple[str, ...]
) -> None:
    """Whatever is read just then, the status is the interrupt's and no traceback is on the terminal."""
    with Terminal(80, 24, env={"DARKROOM_HOME": str(tmp_path / "home")}) as terminal:
        terminal.spawn([*RUN, module, *words])
        assert terminal.wait() in (-signal.SIGINT, TOLD_BY_A_SHELL)
        assert b"Traceback" not in terminal.data
        assert b"KeyboardInterrupt" not in terminal.data


@pytest.mark.parametrize("words", [(), ("log", "list")])
def test_an_interrupt_that_is_ignored_from_the_start_stays_so(tmp_path: Path, words: tuple[str, ...]) -> None:
    """A process that a script started in the background is not ended by the script's ctrl-c."""
    done = subprocess.run(
        [*RUN, "darkroom.commands.groups" if words else "darkroom.screens.start", *words],
        env={**Terminal().env, "DARKROOM_HOME": str(tmp_path / "home"), interrupted_run.IGNORED: "1"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    said = "no plates in" if words else "needs a terminal"
    assert (done.returncode >= 0, said in done.stderr) == (True, True)

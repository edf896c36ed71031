"""The tool as a job of a shell: red while it is in front, the shell's own colours while it is not."""

from __future__ import annotations

import shlex
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.screens.red.foreground import NOBODY_ASKS
from tests.kit import crashing_tool
from tests.kit.shell_job import PROMPT, SHELL, ShellJob
from tests.kit.stopped_tool import OWN_COLOURS, RED_COLOURS

pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(
        not Path("/proc/self/task").exists() or not Path(SHELL[0]).exists(), reason="bash and /proc are asked"
    ),
]


@pytest.fixture
def job(tmp_path: Path) -> Iterator[ShellJob]:
    """Return a shell that has started the tool in the background."""
    job = ShellJob(tmp_path)
    with job.terminal:
        job.open()
        yield job
        job.end()


def test_a_job_is_red_in_front_alone_and_loses_no_mark(job: ShellJob) -> None:
    """Started behind it writes nothing; in front it is red, ctrl-z is dead; stopped and behind, the shell is.

    Marks before and after are saved once each.
    """
    assert b"\x1b]11;" not in job.start_behind()
    assert RED_COLOURS in job.to_front("BEFORE THE FIRST PLATE")
    job.to_bath()
    job.hand.press("\x1a")
    assert job.mark()
    written = job.stop()
    assert OWN_COLOURS in written
    behind = job.type("bg")
    job.wait_until_stopped()
    behind += job.type("echo letters")
    assert b"letters\r\n" in behind
    assert b"\x1b]11;" not in behind
    assert RED_COLOURS in job.to_front("back")
    assert job.is_whole()
    assert job.mark()
    assert job.marks() == 2


def test_a_job_behind_can_be_ended(job: ShellJob) -> None:
    """A job in the background ends by the shell's kill, before it was in front and after, without red."""
    job.start_behind()
    written = job.type("kill %%")
    job.terminal.wait_until(job.has_ended)
    assert b"\x1b]11;" not in written
    job.start_behind()
    job.to_front("BEFORE THE FIRST PLATE")
    job.stop()
    before = len(job.terminal.data)
    job.type("kill %%")
    job.terminal.wait_until(job.has_ended)
    assert b"\x1b]11;" not in job.terminal.data[before:]


def test_a_job_behind_that_no_shell_looks_after_says_so_and_ends(job: ShellJob) -> None:
    """Nobody could bring it to the front: one line says why, without red, and the shell goes on."""
    written = job.start_behind_alone(NOBODY_ASKS)
    written += job.type("echo letters")
    assert b"letters\r\n" in written
    assert b"\x1b]11;" not in written


def test_the_page_after_a_crash_cannot_be_stopped(job: ShellJob) -> None:
    """A stop would leave the red page to the shell: it changes nothing, and the next key ends the job."""
    words = [sys.executable, crashing_tool.__file__, "coat", "1"]
    job.terminal.send(f"{shlex.join(words)}\r".encode())
    job.hand.go_through_sheet()
    job.hand.wait("Press a key.")
    job.kill(signal.SIGTSTP)
    job.terminal.send("space")
    job.terminal.wait_until(job.has_ended)
    job.terminal.wait_until(lambda: job.terminal.data.endswith(PROMPT.encode()))
    assert b"Stopped" not in job.terminal.data

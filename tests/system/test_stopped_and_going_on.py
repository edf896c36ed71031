"""The tool stopped and going on: the terminal is its owner's in the meantime, then red and whole again."""

from __future__ import annotations

import signal
import sys
import time
from pathlib import Path

import pytest

from tests.kit import busy_tool
from tests.kit.audit import audit
from tests.kit.stopped_tool import MARK, OWN_COLOURS, OWN_SCREEN, RED_COLOURS, StoppedTool

pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="the state is read from /proc"),
]


def test_a_stopped_tool_gives_the_terminal_back_and_takes_it_again_in_red(tool: StoppedTool) -> None:
    """Stopped, the terminal has its own screen, colours and modes; going on, all is set and painted first.

    The stop is a stall in the journal, and strikes count again.
    """
    threads = tool.threads()
    written = tool.stop()
    assert OWN_SCREEN in written
    assert written.endswith(OWN_COLOURS)
    assert tool.is_cooked()
    tool.terminal.settle(1.2, 3.0)
    written = tool.go_on()
    assert written.startswith(RED_COLOURS)
    assert tool.is_raw()
    assert tool.is_whole()
    assert tool.mark()
    assert len(tool.stalls()) == 1
    assert tool.stalls()[0] > 1.0
    assert tool.threads() == threads
    tool.kill(signal.SIGTERM)
    assert tool.terminal.wait() == 128 + signal.SIGTERM
    assert tool.is_cooked()
    assert audit(tool.terminal.data.replace(OWN_COLOURS, b""), 24) == []


def test_the_key_that_stops_other_programs_does_nothing_at_the_bench(tool: StoppedTool) -> None:
    """Ctrl-z is no signal and no strike: the tool goes on, and the next mark is saved."""
    tool.hand.press("\x1a")
    assert tool.mark()
    assert tool.state() != "T"


def test_two_stops_and_two_continuations_are_one(tool: StoppedTool) -> None:
    """Further signals of a kind change nothing; one strike is one mark: one thread reads the keys."""
    threads = tool.threads()
    tool.stop(times=3)
    tool.go_on(times=3)
    assert tool.mark()
    assert tool.threads() == threads
    tool.stop()
    tool.go_on()
    assert tool.mark()
    assert tool.threads() == threads


def test_a_continuation_right_behind_a_stop_leaves_nothing_stopped(tool: StoppedTool) -> None:
    """A stop that is called off before it came to pass is none; a later one stops."""
    for _ in range(5):
        tool.kill(signal.SIGTSTP)
        tool.kill(signal.SIGCONT)
        assert tool.mark()
    tool.stop()
    tool.go_on()
    assert tool.mark()


def test_a_stop_and_a_continuation_that_wait_together_leave_nothing_stopped(tmp_path: Path) -> None:
    """While the main thread is kept busy both arrive, and are handled in the other order: it goes on."""
    file = tmp_path / "busy"
    tool = StoppedTool(tmp_path, program=[sys.executable, busy_tool.__file__, str(file)])
    with tool.terminal:
        tool.open()
        for _ in range(2):
            file.touch()
            tool.terminal.wait_until(lambda: not file.exists())
            time.sleep(0.1)  # until the thread is in its loop
            tool.kill(signal.SIGTSTP)
            time.sleep(0.1)  # until it is noted: a continuation takes a stop back that has not arrived
            tool.kill(signal.SIGCONT)
            time.sleep(busy_tool.BUSY)
            assert tool.mark()
            assert tool.state() != "T"
        tool.stop()
        tool.go_on()
        assert tool.mark()


def test_no_stop_comes_between_the_colours_and_the_first_frame(tmp_path: Path) -> None:
    """While the toolkit is read the terminal is red already: a stop would leave the shell in red."""
    tool = StoppedTool(tmp_path)
    with tool.terminal as terminal:
        terminal.spawn([*tool.hand.program, "bench", str(tool.process)])
        terminal.wait_until(lambda: RED_COLOURS in terminal.data)
        tool.kill(signal.SIGTSTP)
        assert tool.state() != "T"
        terminal.wait_until(lambda: b"\x1b[?1049h" in terminal.data)
        tool.hand.go_through_sheet()
        tool.hand.strike("sensitise")
        tool.stop()
        tool.go_on()
        assert tool.mark()


def test_a_continuation_without_a_stop_paints_everything_again(tool: StoppedTool) -> None:
    """After SIGCONT alone, and after SIGSTOP, the screen is whole, and one strike is one mark."""
    threads = tool.threads()
    tool.go_on()
    assert tool.mark()
    tool.stop(signal.SIGSTOP)
    tool.go_on()
    assert tool.is_raw()
    assert tool.mark()
    assert tool.threads() == threads
    tool.kill(signal.SIGTERM)
    assert tool.terminal.wait() == 128 + signal.SIGTERM
    assert tool.is_cooked()


def test_a_stopped_tool_can_be_ended(tool: StoppedTool) -> None:
    """A signal to end that comes while it is stopped ends it in order when it goes on."""
    tool.stop()
    tool.kill(signal.SIGTERM)
    tool.kill(signal.SIGCONT)
    assert tool.terminal.wait() == 128 + signal.SIGTERM
    assert tool.is_cooked()
    assert tool.terminal.data.endswith(OWN_COLOURS)


def test_a_terminal_that_reads_nothing_holds_up_no_stop(tool: StoppedTool) -> None:
    """It stops though nothing is read, and when it goes on all is set and painted, and strikes count."""
    tool.terminal.stop_reading()
    tool.stop()
    tool.terminal.go_on_reading()
    tool.go_on()
    assert tool.is_whole()
    assert tool.mark()


@pytest.mark.parametrize("number", [signal.SIGTTIN, signal.SIGTTOU])
def test_a_stop_for_the_terminals_sake_is_a_stop_like_any_other(
    tool: StoppedTool, number: signal.Signals
) -> None:
    """SIGTTIN and SIGTTOU stop the tool; going on, the screen is red and whole and one strike is one mark."""
    threads = tool.threads()
    tool.stop(number)
    assert RED_COLOURS in tool.go_on()
    assert tool.is_raw()
    assert tool.is_whole()
    assert tool.mark()
    assert tool.threads() == threads


def test_a_key_that_is_read_behind_another_job_stops_the_tool_and_is_no_strike(tool: StoppedTool) -> None:
    """A read while another job has the terminal stops the tool; in front again it goes on without the key."""
    tool.take_terminal()
    tool.hand.press(MARK)
    tool.terminal.wait_until(lambda: tool.state() == "T")
    assert tool.marks() == 0
    tool.give_terminal()
    tool.go_on()
    assert tool.is_raw()
    assert tool.is_whole()
    assert tool.mark()
    assert tool.marks() == 1


def test_a_frame_that_is_drawn_behind_another_job_stops_the_tool_where_the_terminal_says_so(
    tool: StoppedTool,
) -> None:
    """Where no job may write from behind (tostop) its next frame stops the tool; in front it goes on."""
    tool.let_none_write_from_behind()
    tool.take_terminal()
    tool.terminal.wait_until(lambda: tool.state() == "T")
    tool.give_terminal()
    tool.go_on()
    assert tool.is_whole()
    assert tool.mark()


@pytest.mark.parametrize("number", [signal.SIGTSTP, signal.SIGTTIN, signal.SIGTTOU])
def test_no_signal_of_a_terminal_stops_a_tool_that_no_shell_looks_after(
    tmp_path: Path, number: signal.Signals
) -> None:
    """In a window of its own nobody would let it go on: nothing is written or stopped, strikes count."""
    tool = StoppedTool(tmp_path, is_looked_after=False)
    with tool.terminal:
        tool.open()
        written = len(tool.terminal.data)
        for _ in range(3):
            tool.kill(number)
            assert tool.mark()
        assert tool.state() != "T"
        assert OWN_SCREEN not in tool.terminal.data[written:]
        assert OWN_COLOURS not in tool.terminal.data[written:]
        assert tool.is_raw()
        assert tool.stalls() == []
        tool.go_on()
        assert tool.mark()

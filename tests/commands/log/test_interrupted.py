"""Ctrl-c in a command that reads a large log: one status, no trace, and the log is read again afterwards."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import click
import pytest

from darkroom import cli
from darkroom.commands.groups import darkroom_command
from darkroom.log.catalogue import fill, worker
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.helper_processes import interrupts_blocked
from tests.kit import interrupted_helpers
from tests.kit.catalogue import fresh


@pytest.mark.parametrize("when", list(interrupted_helpers.MOMENTS))
def test_an_interrupt_ends_a_large_fill_without_a_trace(home: Path, plates: list[Path], when: str) -> None:
    """Whether helpers start, work or end, the command says nothing but a line's end and has one status."""
    done = subprocess.run(
        [sys.executable, interrupted_helpers.__file__, when, "log", "reindex"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        start_new_session=True,
    )
    assert (done.stdout, done.stderr.strip()) == ("", "")
    assert done.returncode == cli.INTERRUPTED
    with Catalogue(home) as catalogue:
        assert not catalogue.whole
        catalogue.check()
        assert catalogue.content() == fresh(home)


def blocked_signals(pid: int) -> set[int]:
    """Return the signals that a process does not take for now (Linux: SigBlk of /proc/PID/status)."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    mask = int(status.partition("SigBlk:")[2].split()[0], 16)
    return {number for number in range(1, 65) if mask >> number - 1 & 1}


def test_the_program_that_fills_takes_no_interrupt(home: Path, plates: list[Path]) -> None:
    """It is started with the signal blocked; the thread that started it takes interrupts as before."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ())
    with worker.running(home) as program:
        assert signal.SIGINT in blocked_signals(program.pid)
        assert signal.pthread_sigmask(signal.SIG_BLOCK, ()) == before
    assert program.returncode is not None


def test_an_interrupt_that_was_held_back_is_raised_after_the_block() -> None:
    """None is lost: the block runs to its end, then comes the interrupt."""
    reached = []
    with pytest.raises(KeyboardInterrupt), interrupts_blocked():
        signal.raise_signal(signal.SIGINT)
        reached.append("the end of the block")
    assert reached == ["the end of the block"]
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


def test_where_signals_cannot_be_blocked_helpers_work_all_the_same(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A system without signal masks fills the catalogue with helpers too."""
    monkeypatch.delattr(signal, "pthread_sigmask")
    monkeypatch.setattr(fill, "BATCH_SIZE", 10)
    monkeypatch.setattr(fill, "LEAST_BATCHES_FOR_HELPERS", 2)
    with Catalogue(home) as catalogue:
        assert catalogue.rebuild(helpers=2) == len(plates)


@pytest.mark.parametrize(
    ("error", "status"),
    [(KeyboardInterrupt, cli.INTERRUPTED), (EOFError, 1)],
)
@pytest.mark.parametrize("asks", [True, False])
def test_the_status_tells_an_interrupt_from_an_input_that_ended(
    monkeypatch: pytest.MonkeyPatch, error: type[BaseException], status: int, asks: bool
) -> None:
    """An interrupt has its status in a command and at a question; an end of the input is a no."""

    def fail(*_: object, **__: object) -> str:
        raise error

    def command(**_: object) -> None:
        click.prompt("which") if asks else fail()

    stand_in = click.Command("log", callback=command, context_settings={"allow_extra_args": True})
    monkeypatch.setattr("click.termui.visible_prompt_func", fail)
    monkeypatch.setattr(darkroom_command, "main", stand_in.main)
    assert cli.main(["log"]) == status


def test_the_status_of_an_interrupt_is_that_of_a_shell() -> None:
    """A shell tells a program that SIGINT ended by 128 and the signal's number."""
    assert cli.INTERRUPTED == 128 + signal.SIGINT

"""Single checks of `ready` with simulated machines."""

from __future__ import annotations

import errno
import os
import sys
import threading
from pathlib import Path

import pytest

from darkroom.commands import sound as sound_command
from darkroom.commands.ready import checks as ready_checks
from darkroom.devices.clock import Clock
from darkroom.settings.settings import Settings, SoundChoice
from tests.kit.keeps_awake import INHIBIT, KeepsAwake


@pytest.mark.parametrize(
    ("environment", "colours", "letters"),
    [
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8"}, "works", "works"),
        ({"TERM": "xterm-256color", "LANG": "de_DE.UTF-8"}, "works", "works"),
        ({"TERM": "linux", "LANG": "C.UTF-8"}, "advice", "advice"),
        ({"TERM": "xterm", "LANG": "en_US.ISO-8859-1"}, "advice", "advice"),
        ({"TERM": "dumb"}, "fails", "advice"),
        ({}, "fails", "works"),
    ],
)
def test_what_a_terminal_says_of_itself(environment: dict[str, str], colours: str, letters: str) -> None:
    """Colours and letters are judged by the environment; a terminal that cannot be drawn on fails."""
    state_of = {check.about: check.state for check in ready_checks.terminal(environment, (120, 40))}
    assert state_of == {"colours": colours, "letters": letters, "terminal": "works"}


def test_a_small_terminal_gets_advice() -> None:
    """A terminal below 80 by 24 gets advice, not a failure."""
    environment = {"TERM": "xterm-256color"}
    (small,) = [c for c in ready_checks.terminal(environment, (79, 24)) if c.about == "terminal"]
    assert (small.state, small.says) == ("advice", "79 columns, 24 rows: the time is small")


def test_every_write_is_made_durable(tmp_path, monkeypatch) -> None:
    """Each of the writes is followed by a sync of the file and of its folder."""
    synced: list[bool] = []
    real = os.fsync

    def watched(fd: int) -> None:
        synced.append(os.path.isdir(f"/proc/self/fd/{fd}"))
        real(fd)

    monkeypatch.setattr(os, "fsync", watched)
    assert ready_checks.durable_write_seconds(tmp_path, times=2) > 0.0
    assert synced == [False, True, False, True]
    assert list(tmp_path.iterdir()) == []


def test_a_disk_whose_sync_fails_is_said(tmp_path, monkeypatch) -> None:
    """A disk that takes the bytes but cannot keep them is a failure."""

    def broken(fd: int) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(os, "fsync", broken)
    (first, *_) = ready_checks.disk(tmp_path, [])
    assert (first.state, "Input/output error" in first.says) == ("fails", True)
    assert list(tmp_path.iterdir()) == []


def test_a_slow_disk_gets_advice(tmp_path, monkeypatch) -> None:
    """A sync that takes over a second is told: plates would be marked as not saved."""
    monkeypatch.setattr(ready_checks, "durable_write_seconds", lambda folder, times=3: 1.4)
    (first, *_) = ready_checks.disk(tmp_path, [])
    assert first.state == "advice"
    assert "1400.0 ms" in first.says


@pytest.mark.parametrize(
    ("free", "state"), [(5_000_000_000, "works"), (50_000_000, "advice"), (500_000, "fails")]
)
def test_room_on_the_disk(tmp_path, monkeypatch, free: int, state: str) -> None:
    """A disk with little room gets advice, one with none fails."""
    usage = type("Usage", (), {"free": free})
    monkeypatch.setattr(ready_checks.shutil, "disk_usage", lambda path: usage)
    assert state == ready_checks.disk(tmp_path, [])[1].state


def test_sound_that_cannot_be_made_is_missing(monkeypatch) -> None:
    """When no driver plays, that is no failure: it says what calls without it, and what to do."""
    finding = sound_command.Finding("sound", False, "no driver can play", "start the sound server")
    monkeypatch.setattr(sound_command, "check", lambda: [finding])
    (check,) = ready_checks.sound(Settings())
    says = "no driver can play; without it: the terminal's bell calls, and the screen"
    assert (check.state, check.says, check.do) == ("advice", says, "start the sound server")


def test_silenced_calls_are_said(monkeypatch) -> None:
    """Settings that silence important calls give advice even where sound works."""
    finding = sound_command.Finding("sound", True, "a test tone was played", "")
    monkeypatch.setattr(sound_command, "check", lambda: [finding])
    silent = frozenset({"end", "overrun", "past_wet", "refused"})
    checks = ready_checks.sound(Settings(sound=SoundChoice(silent=silent)))
    assert [check.state for check in checks] == ["works", "advice"]
    assert "watch the screen" in checks[1].says


def test_a_sensor_that_hangs_is_not_waited_for(monkeypatch, tmp_path) -> None:
    """A sensor without an answer is missing after its patience; the command does not hang with it."""
    from darkroom.devices.thermometers import polling

    gate = threading.Event()
    monkeypatch.setattr(ready_checks, "SENSOR_PATIENCE", 0.2)
    monkeypatch.setattr(polling.FileSensor, "read", lambda self: gate.wait(30) and 20.0)
    binding = polling.Binding("bath", "file", path="x")
    (check,) = ready_checks.bound_sensors([binding], Path(tmp_path))
    gate.set()
    assert (check.state, check.says) == (
        "advice",
        "file x: no answer; without it: the bath is typed, or assumed",
    )


def test_a_clock_that_cannot_be_told_fails(monkeypatch) -> None:
    """A time zone that no time can be written in, and a clock that stands, are failures."""
    (works,) = ready_checks.clock()
    assert works.state == "works" and works.says[:2] == "20"

    def impossible(self: Clock, wall: float) -> str:
        raise ValueError("offset must be a timedelta strictly between -24 h and 24 h")

    with monkeypatch.context() as patch:
        patch.setattr(Clock, "stamp", impossible)
        (check,) = ready_checks.clock()
        assert check.state == "fails" and "the time cannot be told" in check.says and check.do
    monkeypatch.setattr("darkroom.devices.clock._boot_clock", lambda: lambda: 5.0)
    (check,) = ready_checks.clock()
    assert check.state == "fails" and "stands still" in check.says


@pytest.mark.parametrize(
    ("refused", "state", "says"),
    [
        ("", "works", "while a plate is on the bench darkroom prevents sleep, and what a closed lid does"),
        (
            "--what=sleep:idle:handle-lid-switch",
            "advice",
            "while a plate is on the bench darkroom prevents sleep, not what a closed lid does: "
            "a machine that falls asleep calls nothing until it wakes; then every time is right again",
        ),
    ],
)
@pytest.mark.skipif(sys.platform != "linux", reason="the program is Linux's")
def test_what_keeps_the_machine_awake_is_tried(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refused: str, state: str, says: str
) -> None:
    """The lock is taken for real; what it does not prevent is said with what to do about it."""
    programs = KeepsAwake(tmp_path)
    programs.put("systemd-inhibit", INHIBIT)
    (tmp_path / "refuse").write_text(refused)
    monkeypatch.setenv("PATH", programs.path)
    (check,) = ready_checks.sleep()
    assert (check.about, check.state, check.says) == ("sleep", state, says)
    assert bool(check.do) == (state == "advice")


@pytest.mark.skipif(sys.platform != "linux", reason="the program is Linux's")
def test_a_machine_without_such_a_lock_gets_advice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing keeps the machine awake that is said, and nothing fails for it."""
    monkeypatch.setenv("PATH", str(tmp_path))
    (check,) = ready_checks.sleep()
    assert check.state == "advice"
    assert check.says.startswith("no lock keeps this machine awake: systemd-inhibit is not installed")
    assert check.do == "turn automatic sleep off for the session"

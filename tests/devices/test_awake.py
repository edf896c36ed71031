"""The machine stays awake while it is asked to, and whatever keeps it so ends with the tool."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.devices import awake
from darkroom.devices.awake import SleepLock
from tests.kit.keeps_awake import CAFFEINATE, INHIBIT, KeepsAwake, runs, until


@pytest.fixture
def fake(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[KeepsAwake]:
    """Put a folder before all others on the PATH."""
    programs = KeepsAwake(tmp_path)
    monkeypatch.setenv("PATH", programs.path)
    yield programs


@pytest.fixture
def lock() -> Iterator[SleepLock]:
    """Give a lock of Linux, closed at the end."""
    one = SleepLock("linux")
    yield one
    one.close()


def test_the_lock_is_held_until_it_is_released(fake: KeepsAwake, lock: SleepLock) -> None:
    """From the first plate on logind is asked for all three, once; after the last one nothing runs."""
    fake.put("systemd-inhibit", INHIBIT)
    lock.hold()
    lock.hold()
    until(lambda: len(fake.pids()) == 2)
    assert fake.asked() == [
        "--what=sleep:idle:handle-lid-switch --who=darkroom --why=a plate is on the bench --mode=block cat"
    ]
    assert all(map(runs, fake.pids()))
    lock.release()
    until(lambda: not any(map(runs, fake.pids())))
    lock.hold()
    until(lambda: len(fake.pids()) == 4)
    assert all(map(runs, fake.pids()[2:]))
    assert not lock.refused


def test_a_hold_at_the_heels_of_a_release_holds(fake: KeepsAwake, lock: SleepLock) -> None:
    """However fast one plate follows another, in the end the lock is held, all of it."""
    fake.put("systemd-inhibit", INHIBIT)
    for _ in range(20):
        lock.hold()
        lock.release()
    lock.hold()
    until(lambda: sum(map(runs, fake.pids())) == 2)
    assert {line.split()[0] for line in fake.asked()} == {"--what=sleep:idle:handle-lid-switch"}


def test_what_is_refused_gives_way_to_less(fake: KeepsAwake, lock: SleepLock) -> None:
    """Where the lid is not ours to hold, sleep is."""
    fake.put("systemd-inhibit", INHIBIT)
    (fake.folder / "refuse").write_text("--what=sleep:idle:handle-lid-switch")
    lock.hold()
    until(lambda: len(fake.pids()) == 2)
    assert [line.split()[0] for line in fake.asked()] == [
        "--what=sleep:idle:handle-lid-switch",
        "--what=sleep:idle",
    ]
    way, why = awake.trial("linux")
    assert way is not None
    assert (way.prevents, why) == ("sleep, not what a closed lid does", "")


def test_where_all_is_refused_it_is_asked_once_a_bench(fake: KeepsAwake, lock: SleepLock) -> None:
    """A refused lock is not asked for again until the bench was empty; nothing of it is an error."""
    fake.put("systemd-inhibit", "#!/bin/sh\necho asked >> {folder}/asked\necho Access denied >&2\nexit 1\n")
    lock.hold()
    until(lambda: lock.refused)
    lock.hold()
    assert len(fake.asked()) == 3
    assert awake.trial("linux") == (None, "systemd-inhibit: Access denied")
    lock.release()
    lock.hold()
    until(lambda: lock.refused)
    assert len(fake.asked()) == 9


def test_without_the_program_nothing_is_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lock: SleepLock
) -> None:
    """A machine without logind's program says so, and the lock stays still."""
    monkeypatch.setenv("PATH", str(tmp_path))
    lock.hold()
    until(lambda: lock.refused)
    assert awake.trial("linux") == (None, "systemd-inhibit is not installed")
    assert awake.trial("darwin") == (None, "caffeinate is not installed")


def test_a_program_that_does_not_answer_is_not_waited_for(
    fake: KeepsAwake, lock: SleepLock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`hold` and `release` return while the program hangs; the trial ends after its time."""
    fake.put("systemd-inhibit", "#!/bin/sh\necho $$ >> {folder}/pids\nexec sleep 600\n")
    lock.hold()
    until(lambda: len(fake.pids()) == 1)
    lock.release()
    until(lambda: not any(map(runs, fake.pids())))
    monkeypatch.setattr(awake, "TRIAL", 0.2)
    assert awake.trial("linux") == (None, "systemd-inhibit: no answer")


HOLDS = """
import signal, time
from darkroom.devices.awake import SleepLock
signal.signal(signal.SIGHUP, signal.SIG_DFL)  # ignored where the tests run under nohup
SleepLock().hold()
time.sleep(600)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the program is Linux's")
@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP])
def test_a_killed_tool_leaves_no_child(fake: KeepsAwake, sign: signal.Signals) -> None:
    """However the tool ends, what holds the lock ends too: its pipe is closed."""
    fake.put("systemd-inhibit", INHIBIT)
    with subprocess.Popen([sys.executable, "-c", HOLDS]) as tool:
        until(lambda: len(fake.pids()) == 2)
        assert all(map(runs, fake.pids()))
        tool.send_signal(sign)
    until(lambda: not any(map(runs, fake.pids())))


def test_on_macos_the_program_watches_our_process(fake: KeepsAwake) -> None:
    """caffeinate is told our process id; it is ended when the bench is empty."""
    fake.put("caffeinate", CAFFEINATE)
    way, _ = awake.trial("darwin")
    assert way is not None
    assert way.prevents == "sleep, not what a closed lid does"
    lock = SleepLock("darwin")
    lock.hold()
    until(lambda: len(fake.pids()) == 1)
    assert fake.asked() == ["-i -s true", f"-i -s -w {os.getpid()}"]
    lock.close()
    until(lambda: not any(map(runs, fake.pids())))


def test_on_windows_a_thread_holds_the_request(monkeypatch: pytest.MonkeyPatch) -> None:
    """The request is made and taken back by one thread, for it belongs to the thread that makes it."""
    import threading

    made: list[tuple[int, int]] = []

    def request(flags: int) -> bool:
        made.append((flags, threading.get_ident()))
        return True

    monkeypatch.setattr(awake, "_request_windows", request)
    lock = SleepLock("win32")
    lock.hold()
    until(lambda: len(made) == 1)
    lock.release()
    until(lambda: len(made) == 2)
    lock.close()
    assert [flags for flags, _ in made] == [0x80000001, 0x80000000]
    assert len({thread for _, thread in made}) == 1
    way, _ = awake.trial("win32")
    assert way is not None


def test_elsewhere_nothing_is_held() -> None:
    """On a platform without a way the lock stays still, and the trial says why."""
    lock = SleepLock("freebsd14")
    lock.hold()
    until(lambda: lock.refused)
    lock.close()
    assert awake.trial("freebsd14") == (None, "none is known for this platform (freebsd14)")

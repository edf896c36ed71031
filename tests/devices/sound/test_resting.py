"""A stream that rests: when it does, what wakes it, and that one stream alone takes from the schedule."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import pytest

from darkroom.devices.sound import stream_driver
from darkroom.devices.sound.messages import Call
from darkroom.devices.sound.sample_clock import Stream
from darkroom.devices.sound.scheduler import Scheduler
from darkroom.devices.sound.sound_files import Library
from darkroom.devices.sound.stream_driver import AHEAD, NOTHING_BEFORE, QUIET_FOR, WAKING, StreamDriver


def wait_for(condition: Callable[[], bool]) -> bool:
    """Wait for what another thread does; return whether it came."""
    give_up = time.monotonic() + 20.0
    while not condition() and time.monotonic() < give_up:
        time.sleep(0.002)
    return condition()


class Opened:
    """A device that was opened; `ask` asks it for a block."""

    def __init__(self, rig: Rig, scheduler: Scheduler, buffer: float, start: bool) -> None:
        """Open it, unless the rig refuses."""
        if rig.refuses(len(rig.streams)):
            raise stream_driver.DriverError("no server")
        self.stream, self.buffer, self.backend = Stream(scheduler), buffer, rig.backend
        self.rig, self.started, self.closed = rig, start, False

    def start(self) -> None:
        """Let it ask."""
        self.started = True

    def close(self) -> None:
        """Close it."""
        self.stream.live, self.closed = False, True

    def ask(self) -> None:
        """Ask for a hundredth of a second."""
        self.stream.block(441, self.rig.now)


class Rig:
    """A driver whose devices are made up, on a clock that is moved by hand."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, backend: str = "PULSEAUDIO") -> None:
        """Open the first stream and let it play."""
        self.now, self.backend = 100.0, backend
        self.refuses: Callable[[int], bool] = lambda number: False
        self.streams: list[Opened] = []
        self.scheduler = Scheduler(Library(), lambda kind, what: None)
        monkeypatch.setattr(stream_driver, "LOOK", 0.01)
        rig = self

        class MadeUp(StreamDriver):
            """Opens the rig's streams."""

            def _stream(self, buffer: float, backends: Any = None, *, start: bool = True) -> Any:
                return rig.open(buffer, start)

        self.driver = MadeUp(self.scheduler, lambda: self.now, 0.03)
        self.driver.take()

    def open(self, buffer: float, start: bool) -> Opened:
        """Open a stream."""
        opened = Opened(self, self.scheduler, buffer, start)
        self.streams.append(opened)
        return opened

    def live(self) -> list[Opened]:
        """Return the streams that take from the schedule."""
        return [one for one in self.streams if one.stream.live]

    def rests(self) -> bool:
        """Let the driver look whether it may rest; return whether it does soon."""
        self.driver.rest(self.now)
        if not self.driver.resting:
            return False
        return wait_for(lambda: not self.live() and self.driver.stream is self.streams[-1].stream)


@pytest.fixture
def rig(monkeypatch: pytest.MonkeyPatch) -> Rig:
    """A driver that plays through a sound server."""
    return Rig(monkeypatch)


def test_it_rests_when_nothing_sounded_and_nothing_is_due(rig: Rig) -> None:
    """Then a stream with a larger buffer is open, and no stream takes from the schedule."""
    rig.now += QUIET_FOR - 0.1
    assert not rig.rests()
    rig.now += 0.2
    rig.scheduler.post_set(1, rig.now, [Call(rig.now + NOTHING_BEFORE - 1, "end", 1)])
    rig.streams[0].ask()
    assert not rig.rests()
    rig.scheduler.post_set(2, rig.now, [])
    rig.streams[0].ask()
    assert rig.rests()
    assert [(one.buffer, one.closed) for one in rig.streams] == [(0.03, True), (0.2, False)]
    rig.driver.close()


def test_mail_that_nobody_read_keeps_it_awake(rig: Rig) -> None:
    """A call that has just come in is played by the stream that is open."""
    rig.now += QUIET_FOR + 1
    rig.scheduler.post_now(Call(rig.now, "accepted", 1))
    assert not rig.rests()
    assert rig.live() == rig.streams[:1]


def test_an_answer_wakes_it(rig: Rig) -> None:
    """What is to be played now is played by a further stream like the first; the resting one is closed."""
    rig.now += QUIET_FOR + 1
    assert rig.rests()
    rig.scheduler.post_now(Call(rig.now, "accepted", 1))
    rig.driver.kick()
    assert wait_for(lambda: not rig.driver.resting and rig.streams[1].closed)
    assert rig.live() == [rig.streams[2]] and rig.streams[2].started and rig.streams[2].buffer == 0.03
    rig.streams[2].ask()
    assert rig.scheduler.playing is not None and rig.scheduler.playing.call.name == "accepted"
    assert not rig.rests(), "it sounds"


def test_what_is_due_wakes_it_in_good_time(rig: Rig) -> None:
    """A set of later calls is read while it rests; a while before the first of them the stream is there."""
    rig.now += QUIET_FOR + 1
    assert rig.rests()
    due = rig.now + 60.0
    rig.scheduler.post_set(1, rig.now, [Call(due, "end", 1)])
    rig.driver.kick()
    rig.now = due - AHEAD - 0.1
    assert wait_for(lambda: not rig.scheduler.inbox)
    assert rig.driver.resting and len(rig.streams) == 2
    rig.now = due - AHEAD
    assert wait_for(lambda: rig.live() == rig.streams[2:])


def test_a_card_is_given_one_stream(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only a sound server has room for two at once."""
    rig = Rig(monkeypatch, "ALSA")
    rig.now += 10 * QUIET_FOR
    assert not rig.rests() and len(rig.streams) == 1


def test_where_no_second_stream_opens_it_goes_on_as_it_was(rig: Rig) -> None:
    """It plays on, and does not try again."""
    rig.refuses = lambda number: number == 1
    rig.now += QUIET_FOR + 1
    rig.driver.rest(rig.now)
    assert wait_for(lambda: not rig.driver.resting)
    assert rig.live() == rig.streams
    rig.refuses = lambda number: False
    assert not rig.rests()


def test_a_stream_that_cannot_come_back_is_dead(rig: Rig) -> None:
    """The watchdog hears that it is, and why: the next driver is tried."""
    rig.refuses = lambda number: number == 2
    rig.now += QUIET_FOR + 1
    assert rig.rests()
    rig.streams[1].ask()
    assert rig.driver.alive(rig.now)
    rig.scheduler.post_now(Call(rig.now, "refused", 1))
    rig.driver.kick()
    assert wait_for(lambda: not rig.driver.alive(rig.now))
    assert rig.driver.fault == "no server"


def test_a_server_that_hangs_on_the_way_back_is_left(rig: Rig) -> None:
    """Although the stream that kept the output awake still asks for blocks."""
    hangs = [True]
    rig.refuses = lambda number: number == 2 and not wait_for(lambda: not hangs[0])
    rig.now += QUIET_FOR + 1
    assert rig.rests()
    rig.scheduler.post_now(Call(rig.now, "accepted", 1))
    rig.driver.kick()
    assert wait_for(lambda: rig.driver._waiting_since == rig.now)
    rig.now += WAKING + 0.1
    rig.streams[1].ask()
    assert wait_for(lambda: not rig.driver.alive(rig.now))
    rig.driver.close()
    hangs[0] = False
    assert wait_for(lambda: all(one.closed for one in rig.streams) and len(rig.streams) == 3)
    assert not rig.live()


def test_closing_while_it_rests_leaves_nothing_open(rig: Rig) -> None:
    """The schedule is another driver's at once."""
    rig.now += QUIET_FOR + 1
    assert rig.rests()
    rig.driver.close()
    assert wait_for(lambda: all(one.closed for one in rig.streams))
    assert not rig.live()

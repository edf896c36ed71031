"""The chain of drivers with drivers made up: falling back, hanging, coming back, waking up."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Any

import pytest

from darkroom.devices.sound.driver_choice import DriverChoice
from darkroom.devices.sound.sample_clock import Stream
from darkroom.devices.sound.scheduler import Scheduler
from darkroom.devices.sound.sound_files import Library
from darkroom.devices.sound.stream_driver import DriverError, StreamDriver


class Fake:
    """A driver that opens, and lives, as the test says."""

    def __init__(self, name: str) -> None:
        """Open."""
        self.name, self.detail, self.fault = name, None, None
        self.living, self.taken, self.closed = True, 0, 0

    def take(self) -> None:
        """Count."""
        self.taken += 1

    def close(self) -> None:
        """Count."""
        self.closed += 1

    def alive(self, now: float) -> bool:
        """Return what the test says."""
        return self.living


class Trial:
    """A chain on a clock set by hand whose drivers open as `ways` say."""

    def __init__(self, insisted: str | None = None, skip: tuple[str, ...] = ()) -> None:
        """Every driver opens at first."""
        self.now = 0.0
        self.reports: list[tuple[str, dict[str, Any]]] = []
        scheduler = Scheduler(Library(), self._report)
        self.chain = DriverChoice(scheduler, lambda: self.now, self._report, insisted, skip)
        self.made: list[Fake] = []
        self.ways: dict[str, Callable[[], None]] = {}
        self.chain._make = self._make  # type: ignore[method-assign, assignment]

    def _report(self, kind: str, what: dict[str, Any]) -> None:
        self.reports.append((kind, what))

    def _make(self, name: str) -> Fake:
        self.ways.get(name, lambda: None)()
        self.made.append(Fake(name))
        return self.made[-1]

    def run(self, seconds: float, step: float = 0.1) -> None:
        """Let the watchdog look for so long; attempts get a moment of real time to finish."""
        end = self.now + seconds
        while self.now < end:
            self.chain.look()
            attempt = self.chain._attempt
            if attempt is not None:
                attempt.join(0.02)
            self.now += step

    @property
    def driver(self) -> str | None:
        """The driver in use."""
        return self.chain.driver.name if self.chain.driver is not None else None

    def told(self) -> list[str]:
        """Return the drivers that were reported, in order."""
        return [what["driver"] for kind, what in self.reports if kind == "driver"]


def refuse() -> None:
    """Open nothing."""
    raise DriverError("no server")


def test_the_best_driver_that_opens_is_taken() -> None:
    """The first of the order is used and told once; no other is opened."""
    trial = Trial()
    trial.run(10)
    assert trial.told() == ["miniaudio"]
    assert [driver.name for driver in trial.made] == ["miniaudio"]


def test_a_driver_that_refuses_gives_way() -> None:
    """The next that opens is used, and the reason why the better one is not is told."""
    trial = Trial()
    trial.ways = {"miniaudio": refuse, "simpleaudio": refuse}
    trial.run(1)
    assert trial.told() == ["system"]
    assert trial.reports[0][1]["why"] == "no server; no server"


def test_a_strange_failure_gives_way_too() -> None:
    """A library that raises anything at all is passed over."""

    def break_down() -> None:
        raise ZeroDivisionError

    trial = Trial()
    trial.ways = {"miniaudio": break_down}
    trial.run(1)
    assert trial.told() == ["simpleaudio"]
    assert trial.reports[0][1]["why"] == "ZeroDivisionError"


def test_a_dead_driver_is_left_for_the_bell_and_taken_again() -> None:
    """A driver that dies is told and closed; the bell helps out until a driver opens again."""
    trial = Trial()
    trial.run(1)
    trial.made[0].living = False
    trial.ways = dict.fromkeys(["miniaudio", "simpleaudio", "system"], refuse)
    trial.run(4)
    assert trial.driver == "bell"
    assert trial.made[0].closed == 1
    trial.ways = {}
    trial.run(3)
    assert trial.told() == ["miniaudio", "bell", "miniaudio"]
    assert [kind for kind, _ in trial.reports] == ["driver", "lost", "driver", "driver"]
    bells = [driver for driver in trial.made if driver.name == "bell"]
    assert sum(driver.taken for driver in bells) == 1
    assert all(driver.closed for driver in bells)


def test_a_driver_that_hangs_is_passed_over() -> None:
    """Opening a driver that never answers holds up neither the bell nor the drivers after it."""
    trial = Trial()
    answer = threading.Event()
    trial.ways = {"miniaudio": lambda: (answer.wait(), None)[1]}
    trial.run(2)
    assert trial.driver == "bell"
    trial.run(8)
    assert trial.driver == "simpleaudio"
    answer.set()
    time.sleep(0.05)
    trial.run(1)
    assert trial.told() == ["bell", "simpleaudio", "miniaudio"]


def test_a_late_answer_is_not_taken_for_a_better_driver() -> None:
    """What answers late is closed when the driver in use is as good."""
    trial = Trial()
    answer = threading.Event()
    trial.ways = {"miniaudio": lambda: (answer.wait(), None)[1]}
    trial.run(4)
    trial.ways = {}
    answer.set()
    time.sleep(0.05)
    trial.run(3)
    assert trial.driver == "miniaudio"
    assert sum(driver.taken - driver.closed for driver in trial.made) == 1


def test_a_crashed_driver_is_never_tried() -> None:
    """What is to be skipped is not opened at all."""
    trial = Trial(skip=("miniaudio",))
    trial.run(10)
    assert trial.told() == ["simpleaudio"]
    assert [driver.name for driver in trial.made] == ["simpleaudio"]


@pytest.mark.parametrize(("insisted", "then"), [("system", ["bell"]), ("bell", ["bell"]), ("none", ["none"])])
def test_an_insisted_driver_is_tried_alone(insisted: str, then: list[str]) -> None:
    """With a driver by setting only that one, and the bell to help out, are used."""
    trial = Trial(insisted)
    trial.ways = {"system": refuse}
    trial.run(5)
    assert trial.told() == then


class StreamOfATest(StreamDriver):
    """A stream without a device: it is opened, and it lives."""

    def __init__(self, trial: Trial) -> None:
        """Open."""
        self.stream, self.fault, self.detail = Stream(trial.chain.scheduler), None, ""
        self.opened, self.closed = trial.now, False

    def close(self) -> None:
        """Remember it."""
        self.closed = True

    def alive(self, now: float) -> bool:
        """Return that it is."""
        return True


def test_a_stream_that_ran_dry_is_opened_anew_when_its_last_sound_was_heard() -> None:
    """A stream gets its larger buffer only after what is still in its queue has been heard out."""
    trial = Trial()
    trial.chain._make = lambda name: StreamOfATest(trial)  # type: ignore[method-assign, assignment]
    trial.run(1)
    first = trial.chain.driver
    assert isinstance(first, StreamOfATest)
    first.stream.clock.underruns, first.stream.sounds_until = 1, trial.now + 2.0
    trial.run(2)
    assert not first.closed
    trial.run(1)
    assert first.closed and trial.chain.driver is not first
    assert [kind for kind, _ in trial.reports] == ["driver", "underrun"]

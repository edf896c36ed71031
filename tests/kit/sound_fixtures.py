"""One sound server and one recording for all the tests that listen."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

WORDS = ("2", "lift")
"""The words that the tests which listen have said."""
PATIENCE = 30.0
"""Seconds after which a report that was not made will not be made."""


class PlateRecord:
    """Keeps what a `Sound` reports, each with its instant."""

    def __init__(self) -> None:
        """Begin with nothing told."""
        self.reports: list[tuple[float, str, dict[str, Any]]] = []

    def __call__(self, kind: str, what: dict[str, Any]) -> None:
        """Keep a report."""
        self.reports.append((time.monotonic(), kind, what))

    def reported(self) -> list[tuple[str, dict[str, Any]]]:
        """Return all reports as (kind, what) in order."""
        return [(kind, what) for _, kind, what in self.reports]

    def kinds(self) -> list[str]:
        """Return the kinds of all reports in order."""
        return [kind for _, kind, _ in self.reports]

    def wait(
        self, kind: str, test: Callable[[dict[str, Any]], bool] = lambda what: True
    ) -> tuple[float, dict[str, Any]]:
        """Return (instant, what) of the first such report; fails after `PATIENCE` seconds."""
        give_up = time.monotonic() + PATIENCE
        while time.monotonic() < give_up:
            for at, found, what in list(self.reports):
                if found == kind and test(what):
                    return at, what
            time.sleep(0.005)
        raise AssertionError(f"no '{kind}' within {PATIENCE:g} s: {self.reports}")

    def playing(self, driver: str = "miniaudio") -> None:
        """Wait until a driver plays."""
        self.wait("driver", lambda what: what["driver"] == driver)


@pytest.fixture
def told() -> PlateRecord:
    """What the player reports."""
    return PlateRecord()


@pytest.fixture(scope="session")
def server() -> Iterator[Any]:
    """A PulseAudio server of our own; skipped by name where it is missing."""
    pytest.importorskip("numpy", reason="numpy analyses the recorded sound")
    from tests.kit import sound_recording

    lacking = sound_recording.missing()
    if lacking is not None:
        pytest.skip(f"{lacking} is not installed: nothing can be recorded")
    made = sound_recording.Server(rewinds=False)
    made.start()
    yield made
    made.close()


@pytest.fixture
def listening(server: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Lead every program of this test to the server."""
    if server.process is None:
        server.start()
    for name, value in server.env.items():
        monkeypatch.setenv(name, value)
    return server


@pytest.fixture(scope="session")
def recordings() -> Iterator[list[Any]]:
    """The recordings under way; the last is of the present server."""
    made: list[Any] = []
    yield made
    for one in made:
        one.close()


@pytest.fixture
def capture(listening: Any, recordings: list[Any]) -> Any:
    """What the server plays; begun anew only when the server is another."""
    from tests.kit import sound_recording

    if not recordings or recordings[-1].of is not listening.process:
        recordings.append(sound_recording.Capture(listening))
    return recordings[-1]


@pytest.fixture
def ear(capture: Any) -> Any:
    """Who listens from now on for every shipped cue and some words."""
    from tests.kit.cues_heard import sounds
    from tests.kit.sound_recording import Ear

    return Ear(capture, sounds(WORDS))

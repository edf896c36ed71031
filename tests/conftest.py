"""The order of the tests, how freely hypothesis draws, and a log of its own for each test."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from darkroom.log.catalogue import disk_state
from tests.kit import season
from tests.kit.log_fixtures import own_log
from tests.kit.nightly import NIGHTLY

settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("nightly", derandomize=False, deadline=None, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "nightly" if NIGHTLY else "ci"))

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # a shell that starts tests in the background has it so
    signal.signal(signal.SIGINT, signal.default_int_handler)

SYSTEM = Path(__file__).parent / "system"
SERVER = "server"
"""The fixture that runs a sound server; a test that listens to one shares neither server nor instant."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what needs a terminal or a sound server, and put the tests into the order in which they start.

    All tests that listen run in one worker, one after the other, first: what runs beside them are the
    tests in one process. The terminals come last, the longest before the short, so that all workers end
    at about the same time.
    """

    def rank(item: pytest.Item) -> tuple[bool, bool, bool]:
        system = item.get_closest_marker("system") is not None
        listens = SERVER in getattr(item, "fixturenames", ())
        return (not listens, system, item.get_closest_marker("slow") is None)

    for item in items:
        listens = SERVER in getattr(item, "fixturenames", ())
        if listens:
            item.add_marker(pytest.mark.xdist_group("sound"))
        if listens or SYSTEM in item.path.parents:
            item.add_marker(pytest.mark.system)
    items.sort(key=rank)


@pytest.fixture(scope="session", autouse=True)
def no_state_outside(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Let tests without a log of their own keep no state in the folder of the user who runs them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        yield


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of an empty log; nothing outside the test's own folder is touched."""
    home = own_log(tmp_path, monkeypatch)
    for folder in (home, tmp_path / "out"):
        folder.mkdir(mode=0o700)
    return home


@pytest.fixture
def plates(home: Path) -> list[Path]:
    """Return the journals of a season of 60 plates in the log, oldest first."""
    return season.write(home, 60, seed=5, days=20)


@pytest.fixture
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let files of a moment ago count as settled: otherwise each look reads them once more."""
    monkeypatch.setattr(disk_state, "MOMENT_NS", 0)

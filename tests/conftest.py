"""A log of its own for each test, and a season in it where one is asked for."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from darkroom.log.catalogue import disk_state
from tests.kit import season


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of an empty log; nothing outside the test's own folder is touched."""
    for name in ("state", "tmp", "home", "out"):
        (tmp_path / name).mkdir(mode=0o700)
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("TMPDIR", str(tmp_path / "tmp"))
    monkeypatch.setattr("platformdirs.user_state_path", lambda *_, **__: tmp_path / "state" / "darkroom")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "tmp"))
    return tmp_path / "home"


@pytest.fixture
def plates(home: Path) -> list[Path]:
    """Return the journals of a season of 60 plates in the log, oldest first."""
    return season.write(home, 60, seed=5, days=20)


@pytest.fixture
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let files of a moment ago count as settled: otherwise each look reads them once more."""
    monkeypatch.setattr(disk_state, "MOMENT_NS", 0)

"""A log of its own for each test: its home, the user's state folder and the temporary folder."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from tests.kit.faulty_disk import FaultyDisk


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of an empty log; nothing outside the test's own folder is touched."""
    for name in ("state", "tmp"):
        (tmp_path / name).mkdir(mode=0o700)
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("TMPDIR", str(tmp_path / "tmp"))
    monkeypatch.setattr("platformdirs.user_state_path", lambda *_, **__: tmp_path / "state" / "darkroom")
    monkeypatch.setattr("darkroom.log.store.paths.MEMORY", tmp_path / "memory")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "tmp"))
    return tmp_path / "home"


@pytest.fixture
def faulty(monkeypatch: pytest.MonkeyPatch) -> FaultyDisk:
    """Return a disk that can be made to fail."""
    return FaultyDisk(monkeypatch)

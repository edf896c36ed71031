"""A log of a test's own: its home, the user's state folder and the temporary folder."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from tests.kit.faulty_disk import FaultyDisk


def own_log(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of a log that is not made yet; nothing outside `folder` is touched from now on."""
    for name in ("state", "tmp"):
        (folder / name).mkdir(mode=0o700)
    monkeypatch.setenv("DARKROOM_HOME", str(folder / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(folder / "state"))
    monkeypatch.setenv("TMPDIR", str(folder / "tmp"))
    monkeypatch.setattr("platformdirs.user_state_path", lambda *_, **__: folder / "state" / "darkroom")
    monkeypatch.setattr("darkroom.log.store.paths.MEMORY", folder / "memory")
    monkeypatch.setattr(tempfile, "tempdir", str(folder / "tmp"))
    return folder / "home"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of an empty log, which is not there yet."""
    return own_log(tmp_path, monkeypatch)


@pytest.fixture
def faulty(monkeypatch: pytest.MonkeyPatch) -> FaultyDisk:
    """Return a disk that can be made to fail."""
    return FaultyDisk(monkeypatch)

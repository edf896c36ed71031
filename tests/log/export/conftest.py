"""A log of its own for each test, with three plates: worked, half done, and full of hostile words."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from darkroom.cli import main
from tests.kit.exports import NEXT_DAY, SECOND, hostile, shelve, worked

Export = Callable[..., tuple[int, str]]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of a log; nothing outside the test's own folder is touched."""
    for name in ("state", "tmp", "out"):
        (tmp_path / name).mkdir(mode=0o700)
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr("platformdirs.user_state_path", lambda *_, **__: tmp_path / "state" / "darkroom")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "tmp"))
    return tmp_path / "home"


@pytest.fixture
def season(home: Path) -> Path:
    """Return the folder of a log with three plates."""
    shelve(home, worked())
    shelve(home, worked(SECOND, 14, subject="Barn door")[:20])
    shelve(home, hostile(), NEXT_DAY)
    return home


@pytest.fixture
def out(home: Path) -> Path:
    """Return the folder that exports go to."""
    return home.parent / "out"


@pytest.fixture
def export(capsys: pytest.CaptureFixture[str]) -> Export:
    """Return a way to run `darkroom log export`: status and standard error."""

    def run(*words: object) -> tuple[int, str]:
        status = main(["log", "export", *map(str, words)])
        said = capsys.readouterr()
        assert said.out == ""
        return status, said.err

    return run

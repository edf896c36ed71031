"""A log with three plates for the tests of the exports: worked, half done, and full of hostile words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from darkroom.cli import main
from tests.kit.exports import NEXT_DAY, SECOND, hostile, shelve, worked

Export = Callable[..., tuple[int, str]]


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

"""Folders of the log that may not be entered: no command ends in a trace, and the bench opens."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest

from tests.kit import odd_journals
from tests.kit.bounded_run import run
from tests.kit.odd_home import environment
from tests.kit.odd_journals import GOOD, ODD, bench_lines
from tests.kit.odd_places import without_right_to_write
from tests.kit.photographer import ARGV, Photographer

pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(os.geteuid() == 0 and shutil.which("setpriv") is None, reason="root may enter all"),
]
OLD = "2026-03-01"
FOLDERS = (".", "plates", f"plates/2026/{OLD}", "days", "profiles")
COMMANDS = (
    ("log", "list"), ("log", "show", ODD), ("log", "note", ODD, "x"), ("log", "check"), ("day",), ("ready",),
    ("process", "list"),
)  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with a log: a plate of today and an old one are on the bench."""
    for name in ("home/days", "home/profiles/keymaps", "state", "tmp", "user"):
        (tmp_path / name).mkdir(parents=True, mode=0o700)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    odd_journals.write(tmp_path / "home", GOOD, bench_lines(GOOD))
    odd_journals.write(tmp_path / "home", ODD, bench_lines(ODD), day=OLD)
    (tmp_path / "home" / "bench.json").write_text(f'{{"plates": ["{GOOD}", "{ODD}"]}}')
    return tmp_path


@pytest.mark.parametrize("locked", FOLDERS)
def test_a_folder_that_may_not_be_entered_ends_no_command(folder: Path, locked: str) -> None:
    """Each command says what it cannot read, or goes on without it."""
    (folder / "home" / locked).chmod(0)
    for words in COMMANDS:
        done = run([*without_right_to_write(), *ARGV, *words], environment(folder))
        assert done.wrong() is None, (words, done.text)
    (folder / "home" / locked).chmod(0o700)


@pytest.mark.parametrize(("locked", "says"), [(f"plates/2026/{OLD}", ODD), ("plates", GOOD)])
def test_a_plate_in_a_locked_folder_is_not_kept_away_without_a_word(
    folder: Path, locked: str, says: str
) -> None:
    """The bench opens with what can be read; the quiet line names the plate, or the folder it may be in."""
    (folder / "home" / locked).chmod(0)
    hand = Photographer(folder / "home", 200, 40, **environment(folder))
    hand.program = [*without_right_to_write(), sys.executable, "-m", "darkroom"]
    with hand.terminal:
        hand.terminal.spawn(hand.program)
        hand.wait(lambda screen: says in screen.replace("\n", ""))
    (folder / "home" / locked).chmod(0o700)

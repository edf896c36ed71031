"""`darkroom ready` on the files of faults."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.commands.ready.file_checks import faults

CAUSE = "causes:\n  my leak: {usual: 0.1, remedy: Mend it., source: invented}\n"
FAULT = "faults:\n  veil: {looks: odd, unexplained: 0.01, causes: {my leka: 0.4}, source: invented}\n"


@pytest.mark.parametrize(
    ("text", "states", "says"),
    [
        (CAUSE, ["works"], "1 read, all right"),
        (CAUSE + FAULT, ["works", "advice"], "(did you mean 'my leak'?); without it: that entry is left out"),
        (CAUSE.replace("0.1", "0.9"), ["advice"], "mine.yaml:2: causes.my leak.usual: '0.9' is out of range"),
    ],
)
def test_faults_of_ones_own_are_read(home: Path, text: str, states: list[str], says: str) -> None:
    """A mistake in a file, and one between files, is advice with its place; the shipped files work."""
    own = home / "profiles" / "faults" / "mine.yaml"
    own.parent.mkdir(parents=True)
    own.write_text(text)
    shipped, *checks = faults(home)
    assert (shipped.about, shipped.state) == ("faults", "works")
    assert [(check.about, check.state) for check in checks] == [("your faults", state) for state in states]
    assert says in checks[-1].says


def test_without_own_files_the_shipped_ones_are_told_alone(home: Path) -> None:
    """There is nothing to say of files that are not there."""
    assert [check.about for check in faults(home)] == ["faults"]

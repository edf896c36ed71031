"""What is shown and asked before a line is written or taken back."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from darkroom.log.bottles import files
from darkroom.log.store.paths import bench_id
from darkroom.solutions import events as ev
from tests.kit.command_line import Capture, run


def said(capsys: Capture, *words: str, status: int = 0) -> str:
    """Run a command about bottles; return what it says to both streams."""
    ended, out, err = run(capsys, "bottle", *words)
    assert ended == status, (out, err)
    return out + err


@pytest.fixture(autouse=True)
def no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let nobody answer a question."""
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"")))


def count(home: Path) -> int:
    """Return how many lines the book has."""
    return sum(len(one.entries) + len(one.withdrawn) for one in files.read_shelf(home).bottles.values())


def test_the_line_is_shown_before_it_is_taken_back(home: Path, capsys: Capture) -> None:
    """Without a yes it stays; the answer has its words, and the show tells the two lines apart."""
    said(capsys, "new", "bath", "B-1")
    said(capsys, "treat", "B-1", "acid", "--amount", "1 drop", "--yes")
    place = f"{bench_id()}:2"
    text = said(capsys, "withdraw", "B-1", "last", status=1)
    assert f"acid added, 1 drop  ({place})" in text and "nothing is written" in text and count(home) == 2
    text = said(capsys, "withdraw", "B-1", "last", "--reason", "slip", "--yes")
    assert f"B-1: withdrawn: acid added, 1 drop  ({place})" in text
    shown = said(capsys, "show", "B-1")
    assert "does not count: acid added, 1 drop" in shown and f"withdrawn: {place} (slip)" in shown


def test_the_last_line_is_this_bench_s(home: Path, capsys: Capture) -> None:
    """Another bench's newer line is not meant; where it alone wrote it is said whose line it is."""
    said(capsys, "new", "bath", "B-1")
    (bottle,) = files.read_shelf(home).bottles
    at = "2099-01-01T00:00:00.000+00:00"
    files.append(home, bottle, "b" * 16, lambda n: [ev.Note(n=n, at=at, up=None, text="at B")])
    assert "out of the book" in said(capsys, "withdraw", "B-1", "last", status=1)
    assert f"another bench, {'b' * 16}" in said(capsys, "withdraw", "B-1", f"{'b' * 16}:1", status=1)


@pytest.mark.parametrize(
    "words",
    [("discard", "D-1"), ("treat", "D-1", "filtered"), ("set-aside", "D-1"), ("opened", "D-1")],
    ids=lambda words: str(words[0]),
)
def test_nothing_is_done_to_a_discarded_bottle_unasked(
    home: Path, capsys: Capture, words: tuple[str, ...]
) -> None:
    """It is asked, and --yes writes it; a note is free."""
    said(capsys, "new", "developer", "D-1")
    said(capsys, "discard", "D-1")
    assert "D-1 is discarded." in said(capsys, *words, status=1) and count(home) == 2
    said(capsys, *words, "--yes")
    said(capsys, "note", "D-1", "the bottle is washed")
    assert count(home) == 4


def test_more_than_it_ever_held_is_asked(home: Path, capsys: Capture) -> None:
    """9.4 L for 940 mL is a slip; what it held before, or a volume nobody said, is none."""
    said(capsys, "new", "bath", "B-1", "--volume", "1L")
    text = said(capsys, "measure", "B-1", "--volume", "9.4L", status=1)
    assert "holds 9.4 L, where it never held more than 1 L" in text
    said(capsys, "measure", "B-1", "--volume", "940mL")
    said(capsys, "measure", "B-1", "--volume", "1L")
    said(capsys, "measure", "B-1", "--volume", "9.4L", "--yes")
    said(capsys, "new", "other", "X")
    said(capsys, "measure", "X", "--volume", "9.4L")


def test_a_drawing_off_names_the_other_bottle(home: Path, capsys: Capture) -> None:
    """Not its id; and the other one is to be measured."""
    said(capsys, "new", "bath", "B-1", "--volume", "1L")
    said(capsys, "new", "bath", "B-2")
    text = said(capsys, "draw-off", "B-1", "--volume", "100mL", "--to", "B-2")
    shown = said(capsys, "show", "B-2")
    assert "100 mL of B-1 came in since: measure volume and strength" in shown
    said(capsys, "measure", "B-2", "--volume", "600mL")
    assert "since: measure" not in said(capsys, "show", "B-2")
    assert "drawn off: 100 mL into B-2" in text and "B-2: measure its volume and its strength" in text

"""`darkroom bottle merge`: another log's book is taken in, and what came is said."""

from __future__ import annotations

import shutil
from pathlib import Path

from darkroom.log.bottles import files
from darkroom.log.store.paths import bench_id
from darkroom.solutions import events as ev
from tests.kit.command_line import Capture, run
from tests.kit.put_bottle import put_bottle


def test_a_book_is_merged_and_what_came_is_said(home: Path, tmp_path: Path, capsys: Capture) -> None:
    """The bottle's name and how many lines; nothing new the second time; no folder is wrong use."""
    put_bottle(home, "20260101-000000-aaaaaa", "F-1")
    stick = tmp_path / "stick"
    shutil.copytree(home, stick)
    put_bottle(stick, "20260102-000000-bbbbbb", "F-2")
    assert run(capsys, "bottle", "merge", str(stick)) == (
        0,
        "F-2: 1 line of bench b came  (20260102-000000-bbbbbb)\n",
        "",
    )
    assert run(capsys, "bottle", "merge", str(stick)) == (0, "", "nothing new in 2 files\n")
    status, _, err = run(capsys, "bottle", "merge", str(tmp_path / "none"))
    assert status == 2 and "no folder of a log" in err


def test_lines_that_an_old_copy_took_are_named_by_the_list(home: Path, capsys: Capture) -> None:
    """`bottle list` says which lines are gone, and what brings them back."""
    run(capsys, "bottle", "new", "bath", "B-1")
    (bottle,) = files.read_shelf(home).bottles
    path = files.path_of(home, bottle, bench_id())
    old = path.read_bytes()
    run(capsys, "bottle", "opened", "B-1")
    run(capsys, "bottle", "note", "B-1", "smells of ether")
    path.write_bytes(old)
    _, _, err = run(capsys, "bottle", "list")
    assert "lines 2 to 3 are gone" in err and "darkroom bottle merge" in err
    run(capsys, "bottle", "opened", "B-1")
    (entry,) = files.read_shelf(home).bottles[bottle].entries[1:]
    assert isinstance(entry.event, ev.Opened) and entry.event.n == 4

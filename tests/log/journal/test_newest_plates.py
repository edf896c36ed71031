"""The newest plates of a log, found without looking through all of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.errors import Problem
from darkroom.log.journal import find
from darkroom.log.store import paths as store_paths
from tests.kit import season


@pytest.mark.parametrize("count", [1, 7, 25, 60, 1000])
def test_the_newest_plates_are_the_last_of_all(home: Path, count: int) -> None:
    """The newest plates, newest first, are those that a search of the whole log gives."""
    season.write(home, 60, days=12)
    assert find.newest(home, count) == find.find_plates(home)[::-1][:count]
    assert len(find.newest(home, count)) == min(count, 60)


def test_a_plate_in_a_spill_place_alone_is_the_newest(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A spilled plate comes first, and a spilled further file of a plate in the log is no second plate."""
    paths = season.write(home, 12, days=4)
    spill = home.parent / "spill"
    spill.mkdir(mode=0o700)
    monkeypatch.setattr(store_paths, "spill_places", lambda: [spill])
    alone = paths[3].rename(spill / paths[3].name)
    (spill / f"{paths[0].stem}.2.jsonl").write_bytes(b"")
    newest = find.newest(home, 50)
    assert newest == find.find_plates(home)[::-1]
    assert newest[0] == alone and len(newest) == 12


def test_older_days_are_not_looked_into(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two plates are found in the newest day's folder without reading any other folder."""
    season.write(home, 60, days=12)
    folders_read: list[str] = []
    first_files = find.first_files

    def asking(folder: Path, problems: list[Problem]) -> list[Path]:
        folders_read.append(folder.name)
        return first_files(folder, problems)

    monkeypatch.setattr(find, "first_files", asking)
    assert len(find.newest(home, 2)) == 2
    assert len(folders_read) == 1


def test_an_empty_log_has_none(home: Path) -> None:
    """A log that does not exist has no newest plates."""
    assert find.newest(home, 5) == []

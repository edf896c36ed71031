"""What filling does not do: look for reference cycles among rows, and look into a new folder twice."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from darkroom.log.catalogue import disk_state, fill
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.collector import collector_held
from tests.kit import season


@pytest.fixture
def looked_at() -> Iterator[list[int]]:
    """Return how many objects are young each time the collector begins."""
    counts: list[int] = []

    def begun(phase: str, _: dict[str, Any]) -> None:
        if phase == "start":
            counts.append(len(gc.get_objects(generation=0)))

    gc.collect()
    gc.callbacks.append(begun)
    yield counts
    gc.callbacks.remove(begun)


def test_the_collector_is_as_it_was() -> None:
    """It is on again behind the block, also one that raises; one that was off stays off."""
    with pytest.raises(KeyError), collector_held():
        assert not gc.isenabled()
        with collector_held():
            pass
        assert not gc.isenabled()
        raise KeyError
    assert gc.isenabled()


def test_the_rows_of_a_batch_are_gone_when_the_collector_is_on_again(
    tmp_path: Path, looked_at: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It never goes through the rows of plates, which are no cycles: a batch has many times its threshold."""
    made: list[int] = []
    real = fill._fill_batch

    def counted(batch: Any) -> Any:
        rows = real(batch)
        made.append(sum(len(table) for plate in rows for table in plate.tables.values()))
        return rows

    monkeypatch.setattr(fill, "_fill_batch", counted)
    season.write(tmp_path, 240)
    gc.collect()
    looked_at.clear()
    with Catalogue(tmp_path) as catalogue:
        catalogue.check()
    assert sum(made) > 4 * gc.get_threshold()[0]
    assert max(looked_at, default=0) < sum(made) / 2


def test_a_new_catalogue_does_not_compare_folders_with_what_it_knows(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It knows no file: each folder is listed once, for its plates. Later each is compared as a whole."""
    looks: list[Path] = []
    real = disk_state.look

    def counted(folder: Path) -> disk_state.FolderLook | None:
        looks.append(folder)
        return real(folder)

    monkeypatch.setattr(disk_state, "look", counted)
    with Catalogue(home) as catalogue:
        assert catalogue.check() == len(plates)
        assert looks == []
        catalogue.check()
    assert set(looks) == {path.parent for path in plates}

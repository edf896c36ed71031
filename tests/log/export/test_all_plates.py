"""Every plate of a log in the order of its name, without a list of them: against the list and its order."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.export import all_plates, selection
from darkroom.log.export.all_plates import AllPlates
from darkroom.log.journal.find import survey
from darkroom.log.store import durable, paths
from tests.kit.exports import shelve, worked
from tests.kit.nightly import examples

DAYS = ("2025-12-31", "2026-01-01", "2026-01-02")
FILES = st.tuples(
    st.sampled_from(DAYS),
    st.sampled_from([f"2026010{day}-0{hour}0000-aaaaaa" for day in (1, 2) for hour in range(4)]),
    st.sampled_from(["", ".2", ".3"]),
)


def listed(home: Path) -> list[Path]:
    """Return the list of all plates, sorted by the names of their files."""
    return sorted(survey(home).paths, key=lambda path: path.name)


@settings(max_examples=examples(60), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sets(FILES, max_size=20), st.sets(FILES, max_size=3))
def test_it_is_the_list(
    home: Path, in_log: set[tuple[str, str, str]], spilled: set[tuple[str, str, str]]
) -> None:
    """Whatever lies in which day's folder, in a spill place, twice, or without its first file."""
    shutil.rmtree(home / "plates", ignore_errors=True)
    spill = paths.spill_places()[0]
    shutil.rmtree(spill, ignore_errors=True)
    durable.own_folder(spill)
    for day, plate, k in in_log:
        folder = home / "plates" / day[:4] / day
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{plate}{k}.jsonl").write_bytes(b"")
    for _, plate, k in spilled:
        (spill / f"{plate}{k}.jsonl").write_bytes(b"")
    found = AllPlates(home)
    assert list(found) == list(found) == listed(home)
    assert len(found) == len(listed(home))


def test_a_folder_is_looked_into_when_its_turn_comes(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of many days no more than one folder's names are kept at a time."""
    for number, day in enumerate(DAYS):
        for hour in range(3):
            shelve(home, worked(f"2026010{number}-0{hour}0000-aaaaaa"), day)
    found = AllPlates(home)
    looked_into: list[str] = []
    first_files = all_plates.first_files
    monkeypatch.setattr(
        all_plates,
        "first_files",
        lambda folder, problems: (looked_into.append(folder.name), first_files(folder, problems))[1],
    )
    steps = [len(looked_into) for _ in found]
    assert steps == [1, 1, 1, 2, 2, 2, 3, 3, 3]
    assert looked_into == list(DAYS)


def test_what_changes_meanwhile(home: Path) -> None:
    """A plate that began since is left out, one that is gone is passed over; no folder has to be there."""
    gone = shelve(home, worked("20260101-000000-aaaaaa"), DAYS[1])
    kept = shelve(home, worked("20260101-010000-aaaaaa"), DAYS[1])
    other = shelve(home, worked("20260102-010000-aaaaaa"), DAYS[2])
    found = AllPlates(home)
    shelve(home, worked("20260101-020000-aaaaaa"), DAYS[1])
    gone.unlink()
    shutil.rmtree(other.parent)
    assert list(found) == [kept]
    assert len(found) == 3


@pytest.mark.parametrize("page", [1, 2, 5, 60])
def test_a_filter_is_asked_page_by_page(
    plates: list[Path], home: Path, monkeypatch: pytest.MonkeyPatch, page: int
) -> None:
    """However many rows are looked at at a time, and as often as they are gone through: the same plates."""
    monkeypatch.setattr(selection, "PAGE", page)
    asked: list[int] = []
    rows = Catalogue.plates

    def counted(catalogue: Catalogue, *words: Any, **named: Any) -> Any:
        found = rows(catalogue, *words, **named)
        asked.append(len(found))
        return found

    monkeypatch.setattr(Catalogue, "plates", counted)
    chosen = selection.choose(home, (), filtered="ferns")
    found = [record.log.path for record in chosen]
    assert found == [record.log.path for record in chosen] == sorted(found)
    assert found == [path for path in plates if b'"subject":"ferns"' in path.read_bytes()]
    assert len(found) == len(chosen) == sum(asked) > 5 and max(asked) <= page


def test_a_folder_that_may_not_be_looked_into_is_a_problem(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is told once, and the other plates are found."""
    path = shelve(home, worked(), DAYS[0])
    (home / "plates" / "2026").mkdir()
    (home / "plates" / "2026" / DAYS[1]).write_text("a file")
    found = AllPlates(home)
    assert list(found) == [path]
    assert [Path(problem.file).name for problem in found.problems] == [DAYS[1]]

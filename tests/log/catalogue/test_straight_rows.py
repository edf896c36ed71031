"""The rows of a whole season on the short way against those of the long one."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from darkroom.bench import straight_fold
from darkroom.log.catalogue import disk_state, fill
from darkroom.log.catalogue.rows import plate_rows_of, trend_rows_of
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate import account
from darkroom.log.plate.record import read_record
from darkroom.log.trends.facts import PlateFacts
from tests.kit import season

PLATES = 400
FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


def all_groups(home: Path) -> list[tuple[str | bytes, disk_state.JournalGroup]]:
    """Return the files of every plate of a log, with the folder that they lie in."""
    return [
        (disk_state.key(folder.path), group)
        for folder in disk_state.folders(home, [])
        for group in disk_state.groups(folder, {}, [])
    ]


def test_a_season_with_slips_has_the_same_rows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Plates taken back, moved, resumed, corrected and straight ones: every row is that of the whole fold.

    Both ways are taken often: the short one by most plates, the long one by those that need it.
    """
    season.write(tmp_path, PLATES, hands=True)
    short: list[bool] = []
    straight = straight_fold.straight_fold

    def counted(lines: object) -> object:
        state = straight(lines)  # type: ignore[arg-type]
        short.append(state is not None)
        return state

    monkeypatch.setattr(straight_fold, "straight_fold", counted)
    groups = all_groups(tmp_path)
    quick = [fill.fill(where, group) for where, group in groups]
    assert len(short) == PLATES and sum(short) > PLATES / 2 and short.count(False) > PLATES / 10
    monkeypatch.setattr(fill, "straight_log", lambda path, plate: None)
    monkeypatch.setattr(account, "quick_fold", straight_fold.fold)
    whole = [fill.fill(where, group) for where, group in groups]
    assert len(whole) == PLATES
    for one, other in zip(quick, whole, strict=True):
        assert one == other


def test_slips_leave_other_lines_as_they_are() -> None:
    """With hands the season draws the same plates: two in three are as without."""
    plain, slipped = list(season.season(30)), list(season.season(30, hands=True))
    assert [one.plate for one in plain] == [one.plate for one in slipped]
    same = [one.data == other.data for one, other in zip(plain, slipped, strict=True)]
    assert same == [number % 3 != 0 for number in range(1, 31)]


def test_plates_read_together_have_the_rows_of_each_alone(tmp_path: Path) -> None:
    """A batch goes step by step through shares of its plates: with helpers or without, no row is another.

    Only a process that several have is told once.
    """
    season.write(tmp_path, 80, hands=True)
    groups = all_groups(tmp_path)
    [together] = fill.filled(groups, 1)
    told: list[object] = []
    needed: set[object] = set()
    for plate, (where, group) in zip(together, groups, strict=True):
        alone = fill.fill(where, group)
        needed.update(alone.tables.pop("processes"))
        told += plate.tables.pop("processes")
        assert plate == alone
    assert len(told) == len(needed) and set(told) == needed


def test_rows_for_trends_are_those_of_the_catalogue(tmp_path: Path) -> None:
    """A record's rows and values for trends are those of its journal, with all that trends ask for."""
    logs = [tmp_path, FIXTURES / "journals", FIXTURES / "exposures", FIXTURES / "judged_faults"]
    season.write(tmp_path, 200, hands=True)
    said = []
    for path in [path for log in logs for path in find_plates(log)]:
        rows, lean = plate_rows_of(read_plate(path), "plates"), trend_rows_of(read_record(path))
        assert lean.plate.items() <= rows.plate.items()
        assert lean.plate.keys() >= set(PlateFacts.__struct_fields__)
        plain = replace(rows, plate=lean.plate, process=None, problems=[])
        assert lean == plain
        said.append(rows.exposure)
    assert said.count(None) > 20 and len(said) - said.count(None) > 100


def test_a_share_has_few_plates_and_few_bytes(tmp_path: Path) -> None:
    """Long journals are not in memory together, and none is left out."""
    path, size = tmp_path / "a.jsonl", fill.SHARE_BYTES // 2
    sizes = [1] * (fill.SHARE_SIZE + 1) + [size, size, size, 3 * size, -1]
    batch = [
        ("day", disk_state.JournalGroup("plates", str(number), [(path, (length, 0, 0))]))
        for number, length in enumerate(sizes)
    ]
    shares = list(fill.shares(batch))
    assert [due for share in shares for due in share] == batch
    assert [len(share) for share in shares] == [fill.SHARE_SIZE, 2, 2, 1, 1]

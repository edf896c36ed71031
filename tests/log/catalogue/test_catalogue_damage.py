"""A damaged catalogue, or another file under its name, is noticed and filled anew; nothing false is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom.exposure.judged import JudgedPlate, LeftOut
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.row_sums import add_sums, row_sum, with_sum
from tests.kit import damage
from tests.kit.nightly import examples


@pytest.fixture
def whole(home: Path, plates: list[Path]) -> tuple[bytes, damage.Answer]:
    """Return the bytes of a sound catalogue and what it says."""
    for path in plates[10:]:
        path.unlink()
    said = damage.answers(home)
    return (home / NAME).read_bytes(), said


@settings(max_examples=examples(40), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_a_changed_byte_never_shows(
    home: Path, whole: tuple[bytes, damage.Answer], data: st.DataObject
) -> None:
    """With any byte of the file changed, lists, searches and trends say the same as before."""
    sound, said = whole
    at = data.draw(st.integers(0, len(sound) - 1))
    mask = data.draw(st.integers(1, 255))
    damage.put(home, damage.flipped(sound, at, mask))
    assert damage.answers(home) == said


@pytest.mark.parametrize("state", damage.ODD_STATES)
def test_whatever_stands_under_its_name(home: Path, whole: tuple[bytes, damage.Answer], state: str) -> None:
    """Another file, another database, other columns or a changed text: the answers are the journals'."""
    damage.ODD_STATES[state](home)
    assert damage.answers(home) == whole[1]
    assert damage.answers(home) == whole[1]
    with Catalogue(home) as catalogue:
        assert (catalogue.path is None) == state.startswith("a folder")
        assert catalogue.whole or state.startswith("a folder")


@pytest.mark.parametrize("state", damage.ODD_STATES)
def test_reindexing_works_on_anything(home: Path, whole: tuple[bytes, damage.Answer], state: str) -> None:
    """Filling anew succeeds whatever stands under the catalogue's name."""
    damage.ODD_STATES[state](home)
    with Catalogue(home) as catalogue:
        assert catalogue.rebuild() == 10
    assert damage.answers(home) == whole[1]


def test_a_new_catalogue_of_another_program_is_followed(
    home: Path, whole: tuple[bytes, damage.Answer]
) -> None:
    """A program that has the file open goes on with the new one when another program replaced it."""
    with Catalogue(home) as first:
        first.check()
        damage.changed_by_sql(home, "UPDATE plates SET subject = 'false'")
        assert damage.answers(home) == whole[1]
        inode = (home / NAME).stat().st_ino
        assert first.plates() == whole[1][0]
        assert (home / NAME).stat().st_ino == inode


def test_damaged_uses_are_never_counted(home: Path, whole: tuple[bytes, damage.Answer]) -> None:
    """A use that another program changed is noticed when the bottles ask, and read anew."""
    with Catalogue(home) as catalogue:
        uses = catalogue.plate_uses()
        assert uses
        damage.changed_by_sql(home, "UPDATE uses SET name = 'false' WHERE position = 1")
        assert catalogue.plate_uses() == uses


def test_a_row_damaged_after_the_check_is_not_shown(home: Path, whole: tuple[bytes, damage.Answer]) -> None:
    """Each row of a page is compared with its sum when it is shown, not only when the file is opened."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        damage.changed_by_sql(home, "UPDATE plates SET subject = 'false'", "UPDATE faults SET name = 'false'")
        assert catalogue.plates() == whole[1][0]


def test_lost_rows_of_judged_exposures_are_noticed(home: Path, whole: tuple[bytes, damage.Answer]) -> None:
    """An empty page in place of a table's first one is sound by itself: its rows are noticed to be gone."""
    judged = _judged(home)
    assert judged[0]
    damage.put(home, whole[0])
    damage.changed_by_sql(home, "DELETE FROM exposures")
    assert _judged(home) == judged


def _judged(home: Path) -> tuple[list[JudgedPlate], list[LeftOut]]:
    with Catalogue(home) as catalogue:
        catalogue.check()
        return catalogue.judged_exposures()


def test_the_sum_of_numbers_that_change_in_the_table() -> None:
    """A number that is none is kept as NULL; its row's sum is that of the row as it is read back."""
    assert row_sum(("a", float("nan"), 1.0)) == row_sum(("a", None, 1.0))
    assert row_sum(("a", 1.0)) != row_sum(("a", 1))
    assert row_sum(("\ud800",)) == 0


@pytest.mark.parametrize("odd", [None, float("nan"), "\ud800", 1 << 70])
def test_sums_of_many_rows_are_those_of_each(odd: object) -> None:
    """Rows get their sums together, and one with a value that no table keeps alters no other's."""
    rows: list[tuple[object, ...]] = [("a", 1.0, None), ("b", odd), ("c", b"\xf8\x00", -1)]
    together = [list(row) for row in rows]
    add_sums(together)
    assert list(map(tuple, together))[::2] == list(map(with_sum, rows))[::2]
    assert together[1][-1] == row_sum(rows[1])

"""An open list finds every change in time, and does next to nothing while there is none (a false clock)."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.log.catalogue import disk_state, fill
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.log_watch import ROUND, STEP, LogWatch
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import append
from tests.kit.catalogue import by_hand, fresh, note

pytestmark = pytest.mark.usefixtures("settled")

MINUTE = 60


class Watched:
    """A log whose list is open, second by second."""

    def __init__(self, catalogue: Catalogue, in_sight: list[Path]) -> None:
        catalogue.check()
        catalogue.check()
        self.catalogue, self.now = catalogue, 1000.0
        self.pages = [tuple(map(str, in_sight))]
        self.watch = LogWatch(catalogue)
        self.step()

    def step(self, seconds: float = STEP) -> int:
        """Let a second pass."""
        self.now += seconds
        return self.watch.step(self.now, self.pages)

    def seconds_until(self, words: str) -> int:
        """Return after how many seconds the catalogue tells a text."""
        for second in range(1, 2 * MINUTE):
            self.step()
            if self.catalogue.count(Query(words=words)):
                return second
        raise AssertionError(f"not found: {words}")


@pytest.fixture
def watched(home: Path, plates: list[Path]) -> Iterator[Watched]:
    """Return the log with its newest five plates in sight."""
    with Catalogue(home) as catalogue:
        yield Watched(catalogue, plates[-5:])


@pytest.fixture
def looks(watched: Watched, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Return the folders that are looked into from now on."""
    folders: list[Path] = []
    look = disk_state.look

    def counted(folder: Path) -> disk_state.FolderLook | None:
        folders.append(folder)
        return look(folder)

    monkeypatch.setattr(disk_state, "look", counted)
    return folders


def test_a_line_by_hand_in_sight_shows_at_the_next_step(watched: Watched, plates: list[Path]) -> None:
    """A line that an editor adds to a plate on the page is read within a second, and so is a second one."""
    by_hand(plates[-3], note(900, "in sight"))
    assert watched.seconds_until("in sight") == 1
    by_hand(plates[-3], note(901, "once again"))
    assert watched.seconds_until("once again") == 1


def test_a_page_that_was_shown_for_an_instant_was_in_sight(watched: Watched, plates: list[Path]) -> None:
    """A plate on a page that came and went between two steps is looked at in the second."""
    by_hand(plates[10], note(900, "seen shortly"))
    watched.pages = [(str(plates[10]),), ()]
    assert watched.seconds_until("seen shortly") == 1


def test_a_plate_that_went_out_of_sight_is_looked_at_a_little_longer(
    watched: Watched, plates: list[Path]
) -> None:
    """A filter for a line that was just added by hand takes its plate off the page: it is found."""
    by_hand(plates[-3], note(900, "looked for"))
    watched.pages = [()]
    assert watched.seconds_until("looked for") == 1
    by_hand(plates[-3], note(901, "and once more"))
    assert watched.seconds_until("and once more") == 1


@pytest.mark.parametrize("place", [0, 10, 30, 54])
def test_a_line_by_hand_out_of_sight_shows_within_a_minute(
    watched: Watched, plates: list[Path], place: int
) -> None:
    """A line that an editor adds to an old plate is found in the course of a minute."""
    by_hand(plates[place], note(900, "out of sight"))
    assert watched.seconds_until("out of sight") < MINUTE
    assert watched.catalogue.content() == fresh(watched.catalogue.home)


def test_every_folder_has_its_turn_in_a_minute_and_no_two_at_once(
    watched: Watched, plates: list[Path], looks: list[Path]
) -> None:
    """With nothing to do each folder is looked into once a round, evenly: never more than one a second."""
    folders = sorted({path.parent for path in plates})
    assert len(folders) < ROUND
    counts = []
    for _ in range(round(ROUND / STEP)):
        before = len(looks)
        assert watched.step() == 0
        counts.append(len(looks) - before)
    assert max(counts) == 1
    for _ in range(3):
        watched.step()
    assert set(looks) == set(folders)


def test_nothing_is_read_or_written_while_nothing_happens(
    watched: Watched, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a whole round no journal is opened, the tables are not written, and no row of them is compared."""
    statements: list[str] = []
    watched.catalogue._db.set_trace_callback(statements.append)
    monkeypatch.setattr(fill, "read_file", lambda path: pytest.fail(f"{path} was read"))
    other = sqlite3.connect(home / NAME)
    before = other.execute("PRAGMA data_version").fetchone()
    for _ in range(2 * MINUTE):
        assert watched.step() == 0
    assert other.execute("PRAGMA data_version").fetchone() == before
    other.close()
    assert set(statements) == {"PRAGMA data_version"}


def test_after_a_pause_the_round_goes_on_at_its_pace(watched: Watched, looks: list[Path]) -> None:
    """A machine that slept for hours does not look at everything at once when it wakes."""
    watched.step(5 * 3600.0)
    assert len(looks) <= 2


def test_what_a_writer_names_shows_at_the_next_step(watched: Watched, plates: list[Path]) -> None:
    """A note on an old plate, added with the tool, is read within a second."""
    append.add(watched.catalogue.home, plates[0], lambda n: note(n, "by the tool"))
    assert watched.seconds_until("by the tool") == 1


def test_plates_that_come_and_go_show_at_the_next_step(
    watched: Watched, home: Path, plates: list[Path]
) -> None:
    """A plate copied in, one taken away, a new day, a day taken away: each is known a second later."""
    count = watched.catalogue.count
    new = home / "plates" / "2027" / "2027-01-01"
    for path in (plates[0].with_name("20260101-000000-aaaaaa.jsonl"), new / "20270101-000000-bbbbbb.jsonl"):
        path.parent.mkdir(parents=True, exist_ok=True)
        before = count()
        shutil.copy(plates[5], path)
        watched.step()
        assert count() == before + 1
    plates[7].unlink()
    watched.step()
    assert count() == len(plates) + 1
    shutil.rmtree(new)
    watched.step()
    assert count() == len(plates)
    assert watched.catalogue.content() == fresh(home)


def test_a_folder_whose_time_lies_is_found_out_within_a_minute(
    watched: Watched, home: Path, plates: list[Path]
) -> None:
    """A plate copied in and another taken away, the folder's time set back as a bad network disk may."""
    folder = plates[20].parent
    status = folder.stat()
    shutil.copy(plates[5], folder / "20260101-000000-cccccc.jsonl")
    plates[20].unlink()
    os.utime(folder, ns=(status.st_atime_ns, status.st_mtime_ns))
    for _ in range(MINUTE):
        watched.step()
    assert watched.catalogue.content() == fresh(home)


def test_a_day_that_goes_and_comes_back_is_known_again(
    watched: Watched, home: Path, plates: list[Path]
) -> None:
    """A day's folder moved away and back, every file as it was, is forgotten and read again."""
    folder, aside = plates[20].parent, home.parent / "aside"
    for _ in range(MINUTE):
        watched.step()
    folder.rename(aside)
    watched.step()
    assert watched.catalogue.count() < len(plates)
    aside.rename(folder)
    watched.step()
    assert watched.catalogue.count() == len(plates)
    assert watched.catalogue.content() == fresh(home)


def test_what_another_program_read_is_told(watched: Watched, home: Path, plates: list[Path]) -> None:
    """What another program has already taken into the catalogue counts as a change: the page is asked."""
    by_hand(plates[0], note(900, "read by the other"))
    with Catalogue(home) as other:
        assert other.check() == 1
    assert watched.step() == 1
    assert watched.step() == 0


def test_a_catalogue_taken_away_is_filled_anew(watched: Watched, home: Path) -> None:
    """Its file deleted behind the open list, the catalogue is whole again a second later."""
    for end in ("", "-wal", "-shm"):
        (home / f"{NAME}{end}").unlink(missing_ok=True)
    assert watched.step()
    assert watched.catalogue.content() == fresh(home)


def test_made_anew_it_reads_every_plate(watched: Watched, plates: list[Path]) -> None:
    """What is known of the folders does not keep a rebuild from reading them."""
    assert watched.catalogue.check() == 0
    assert watched.catalogue.rebuild() == len(plates)
    assert watched.catalogue.check() == 0


def test_what_was_told_while_all_was_checked_is_read(home: Path, plates: list[Path]) -> None:
    """A note that is written after the check looked into its folder shows at the first step."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        append.add(home, plates[0], lambda n: note(n, "in between"))
        LogWatch(catalogue).step(0.0)
        assert catalogue.count(Query(words="in between")) == 1

"""The judged plates of a log, from its catalogue: all of them, none twice, and never an error."""

from __future__ import annotations

import math
import sqlite3
from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.judged_plates import JudgedPlates, judged_plates
from darkroom.log.catalogue.query import Query
from darkroom.log.journal.find import find_plates
from darkroom.log.plate.judged_exposure import judged_exposure
from darkroom.log.plate.record import read_record
from darkroom.process.scene import Scene
from tests.kit import season
from tests.kit.catalogue import by_hand
from tests.kit.exports import DAY, FIRST, SECOND, shelve, worked
from tests.kit.journals import ReportLog, eager_writer
from tests.kit.log_commands import Capture, run_log


def from_journals(home: Path) -> JudgedPlates:
    """Return the same from the journals, read one by one."""
    said = [judged_exposure(read_record(path)) for path in find_plates(home)]
    return JudgedPlates(
        plates=tuple(s for s in said if s is not None and hasattr(s, "given")),
        left_out=tuple(s for s in said if s is not None and hasattr(s, "reason")),
    )


def test_the_catalogue_and_the_journals_say_the_same(tmp_path: Path) -> None:
    """Every judged plate of a season is there, with its interval and conditions, oldest first."""
    season.write(tmp_path, 120)
    found = judged_plates(tmp_path)
    assert from_journals(tmp_path) == found
    assert len(found.plates) > 30
    assert sorted(plate.plate for plate in found.plates) == [plate.plate for plate in found.plates]


def test_a_judgement_that_is_added_or_changed_is_followed(tmp_path: Path) -> None:
    """A plate judged since the last look is there at the next, with its newest judgement."""
    path = shelve(tmp_path, worked())
    (before,) = judged_plates(tmp_path).plates
    assert (before.low, before.high) == (-0.75, -0.25)
    shelve(tmp_path, worked(SECOND, 13))
    assert [plate.number for plate in judged_plates(tmp_path).plates] == [12, 13]
    record = read_record(path)
    rating = next(line for line in reversed(record.log.events) if isinstance(line, ev.Rating))
    n = record.log.last_n + 1
    by_hand(path, msgspec.structs.replace(rating, n=n, exposure_stops=1.5, corrects=rating.n))
    found = judged_plates(tmp_path, by_hand_too=True).plates
    assert [(plate.low, plate.high) for plate in found if plate.plate == FIRST] == [(1.25, 1.75)]


def test_a_judgement_that_a_writer_named_is_seen_at_once(home: Path, capsys: Capture) -> None:
    """A plate that is judged by a command, or at the bench, is there without comparing every journal."""
    shelve(home, worked()[:-5])
    assert judged_plates(home).plates == ()
    assert run_log(capsys, "rate", "12", "--exposure-word", "more")[0] == 0
    assert [(12, math.inf)] == [(plate.number, plate.high) for plate in judged_plates(home).plates]
    writer = eager_writer(home, ReportLog())
    lines = worked(SECOND, 13)[:-5]
    word = ev.Rating(n=lines[-1].n + 1, at=lines[-1].at, up=1500.0, exposure_word="less")
    writer.write(SECOND, DAY, lines)
    writer.flush(5.0)
    assert len(judged_plates(home).plates) == 1
    writer.write(SECOND, DAY, [word])
    writer.flush(5.0)
    assert [plate.number for plate in judged_plates(home).plates] == [12, 13]
    writer.close(5.0)


def test_a_plate_that_is_gone_is_forgotten(tmp_path: Path) -> None:
    """A journal that was taken away takes its judgement with it."""
    path = shelve(tmp_path, worked())
    assert judged_plates(tmp_path).plates
    path.unlink()
    assert judged_plates(tmp_path) == JudgedPlates()


def test_a_damaged_row_is_read_anew(tmp_path: Path) -> None:
    """A judgement that was changed in the file is refuted by its sum, and the journals say it again."""
    shelve(tmp_path, worked())
    right = judged_plates(tmp_path)
    with sqlite3.connect(tmp_path / NAME) as db:
        db.execute("UPDATE exposures SET number = 99")
    assert right == judged_plates(tmp_path)


@pytest.mark.parametrize("what", ["missing", "file", "empty"])
def test_a_log_that_is_none_has_no_plates(tmp_path: Path, what: str) -> None:
    """A folder that is not there, a file in its place and an empty folder raise nothing."""
    home = tmp_path / "log"
    if what == "file":
        home.write_text("no log")
    if what == "empty":
        home.mkdir()
    assert judged_plates(home).plates == ()


def test_what_goes_wrong_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An error that nothing foresaw is told in words; the caller goes on without plates."""

    def fails(_: Catalogue) -> None:
        raise MemoryError("no room")

    monkeypatch.setattr(Catalogue, "judged_exposures", fails)
    assert judged_plates(tmp_path) == JudgedPlates(trouble="the log cannot be looked at: no room")


def test_scene_and_camera_are_found_in_the_list(tmp_path: Path) -> None:
    """A list has camera, holder, f-number and EV as they stood last, and words of the scene are found."""
    scene = Scene(light="north window", kind="window", ev=9.5, f_number=5.6, place="Weir", sky="hazy")
    shelve(tmp_path, worked(FIRST, 12, light=None, scene=scene, camera="field camera", holder="B"))
    shelve(tmp_path, worked(SECOND, 13))
    with Catalogue(tmp_path) as catalogue:
        catalogue.check()
        for words in ("weir", "north window", "field", "hazy"):
            (row,) = catalogue.plates(Query(words=words))
            assert row["number"] == 12
        assert tuple(row[name] for name in ("camera", "holder", "f_number", "ev", "light")) == (
            "field camera",
            "B",
            5.6,
            9.5,
            "north window",
        )

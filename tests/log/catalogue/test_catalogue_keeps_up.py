"""The catalogue compared with the journals: filled, kept up to date, queried."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.errors import AmbiguousPlate, NothingFound
from darkroom.log.catalogue import disk_state
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import append, frame
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import changes
from tests.kit.catalogue import by_hand, fresh, note

pytestmark = pytest.mark.usefixtures("settled")


def test_the_first_look_takes_in_every_plate(home: Path, plates: list[Path]) -> None:
    """Each journal is one row with the facts of its own lines, read here with the standard library alone."""
    with Catalogue(home) as catalogue:
        assert catalogue.read_changes() == len(plates)
        rows = {row["path"]: row for row in catalogue.plates()}
    assert sorted(rows) == sorted(map(str, plates))
    for path in plates:
        starts = [json.loads(line) for line in path.read_text().splitlines()]
        ratings = [line for line in starts if line["event"] == "rating"]
        ended = [line for line in starts if line["event"] == "plate_ended"]
        row = rows[str(path)]
        assert (row["plate"], row["number"]) == (path.stem, starts[0]["number"])
        assert row["stars"] == (ratings[-1]["stars"] if ratings else None)
        assert (row["ended"], row["how"]) == (ended[-1]["at"], ended[-1]["how"])


def test_stages_are_what_the_journal_measured(home: Path, plates: list[Path]) -> None:
    """The seconds of each stage in the catalogue are those of its `stage_ended` line."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        rows = catalogue.stages()
    for path in plates[:10]:
        lines = [json.loads(line) for line in path.read_text().splitlines()]
        ended = [(line["stage"], line["seconds"]) for line in lines if line["event"] == "stage_ended"]
        kept = [(row["stage"], row["seconds"]) for row in rows if row["path"] == str(path)]
        assert [name for name, _ in kept] == [name for name, _ in ended]
        assert [seconds for _, seconds in kept] == pytest.approx([s for _, s in ended], abs=0.002)


def test_nothing_is_read_again_without_a_reason(home: Path, plates: list[Path]) -> None:
    """A second look and a second check find nothing to do."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert (catalogue.read_changes(), catalogue.check()) == (0, 0)


def test_kept_up_is_the_same_as_made_anew(home: Path, plates: list[Path]) -> None:
    """After new, changed, deleted, damaged and moved journals the kept catalogue equals a fresh one."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        by_hand(plates[0], note(900, "by hand"))
        plates[1].unlink()
        plates[2].write_bytes(plates[2].read_bytes()[:-40])
        plates[3].write_bytes(b"")
        shutil.rmtree(plates[-1].parent)
        new_folder = home / "plates" / "2027" / "2027-01-01"
        new_folder.mkdir(parents=True)
        shutil.copy(plates[4], new_folder / plates[4].name)
        further = plates[5].with_name(f"{plates[5].stem}.2.jsonl")
        begun = ev.Continued(n=0, at="x", up=None, plate=plates[5].stem, saved=1, why="trial")
        further.write_bytes(frame.encode(begun) + frame.encode(note(901, "further")))
        catalogue.check()
        assert catalogue.content() == fresh(home)
        assert catalogue.content()["plates"]


def test_a_note_is_seen_by_the_next_look(home: Path, plates: list[Path]) -> None:
    """What the tool's own writers add is told of in `changed`, and the look reads just that."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        append.add(home, plates[7], lambda n: note(n, "seen at once"))
        assert catalogue.read_changes() == 1
        assert [row["path"] for row in catalogue.plates(Query(words="SEEN at"))] == [str(plates[7])]


def test_a_plate_of_the_bench_is_seen_by_the_next_look(home: Path, plates: list[Path]) -> None:
    """A journal grown by the writer of the bench shows in a look, line by line."""
    writer = JournalWriter(home, lambda report: None)
    first = json.loads(plates[0].read_text().splitlines()[0])
    start = ev.PlateStarted(
        n=1,
        at="2026-09-01T10:00:00.000+02:00",
        up=1.0,
        plate="20260901-080000-aaaaaa",
        number=99,
        schema=1,
        version="0",
        bench="b",
        boot="c",
        process=first["process"],
    )
    with Catalogue(home) as catalogue:
        catalogue.check()
        writer.write(start.plate, "2026-09-01", [start])
        assert writer.close(5.0)
        assert catalogue.read_changes() == 1
        (row,) = catalogue.plates(Query(state="bench"))
        assert (row["number"], row["ended"], row["place"]) == (99, None, "bench")
        ended = ev.PlateEnded(
            n=2, at="2026-09-01T10:01:00.000+02:00", up=61.0, how="abandoned", reason="dust"
        )
        writer.write(start.plate, "2026-09-01", [ended])
        assert writer.close(5.0)
        assert catalogue.read_changes() == 1
        assert catalogue.plates(limit=1)[0]["number"] != 0
        (row,) = catalogue.plates(Query(words="dust 99"))
        assert (row["how"], row["reason"], row["place"]) == ("abandoned", "dust", None)


def test_a_journal_copied_in_shows_at_the_next_look(home: Path, plates: list[Path], tmp_path: Path) -> None:
    """A plate of another bench, copied into a day's folder that is there or new, shows without a check."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        data = plates[0].read_bytes()
        for day in (plates[0].parent, home / "plates" / "2025" / "2025-06-01"):
            day.mkdir(parents=True, exist_ok=True)
            (day / "20250601-080000-zzzzzz.jsonl").write_bytes(data)
            assert catalogue.read_changes() == 1


def test_a_line_added_by_hand_shows_at_the_next_check(home: Path, plates: list[Path]) -> None:
    """A check finds a line added by hand by the file's size, and a change of the same size by its time."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        by_hand(plates[3], note(950, "written in an editor"))
        assert catalogue.check() == 1
        assert catalogue.count(Query(words="editor")) == 1
        data = plates[3].read_bytes()
        plates[3].write_bytes(data.replace(b"editor", b"EDITOR"))
        assert catalogue.check() == 1
        assert catalogue.count(Query(words="editor")) == 0  # the sum refutes the line


def test_a_file_of_this_moment_is_read_once_more(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A change within the file system's tick may look like none: such a file is not trusted yet."""
    monkeypatch.setattr(disk_state, "MOMENT_NS", 3_600_000_000_000)
    with Catalogue(home) as catalogue:
        assert [catalogue.check(), catalogue.check()] == [len(plates), len(plates)]
        monkeypatch.setattr(disk_state, "MOMENT_NS", 0)
        assert [catalogue.check(), catalogue.check()] == [len(plates), 0]


def test_changed_begun_anew_loses_nothing(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """When `changed` grew too long and was begun again, or is gone, the look becomes a check."""
    monkeypatch.setattr(changes, "LARGEST", 200)
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        for number in range(12):
            append.add(home, plates[number], lambda n: note(n, "kept"))
        assert (home / changes.NAME).stat().st_size <= 200 + 100
        catalogue.read_changes()
        assert catalogue.count(Query(words="kept")) >= 12
        (home / changes.NAME).unlink()
        by_hand(plates[20], note(960, "found without it"))
        catalogue.read_changes()
        assert catalogue.count(Query(words="found without")) == 1


@pytest.mark.parametrize("cut", [1, 5, 30])
def test_half_a_hint_spoils_no_other(home: Path, plates: list[Path], cut: int) -> None:
    """A full disk took a part of a line of `changed`: the journal that is named next is read all the same."""
    with Catalogue(home) as catalogue:
        append.add(home, plates[0], lambda n: note(n, "before"))
        catalogue.check()
        by_hand(plates[3], note(960, "half told"))
        with (home / changes.NAME).open("ab") as hint:
            hint.write(f"{plates[3].relative_to(home)}\n".encode()[:-cut])
        catalogue.read_changes()
        append.add(home, plates[40], lambda n: note(n, "told whole"))
        assert catalogue.read_changes() >= 1
        assert [row["path"] for row in catalogue.plates(Query(words="told whole"))] == [str(plates[40])]
        catalogue.check()
        assert catalogue.content() == fresh(home)


def test_a_log_that_is_not_there_is_empty_and_stays_so(tmp_path: Path) -> None:
    """A query of a log that does not exist finds nothing and creates no folder."""
    with Catalogue(tmp_path / "none") as catalogue:
        assert (catalogue.read_changes(), catalogue.plates()) == (0, [])
    assert not (tmp_path / "none").exists()


def test_the_words_that_name_a_plate(home: Path, plates: list[Path]) -> None:
    """An id, the start of one and a number find the plate; several answers and none are errors."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert catalogue.find(plates[2].stem) == plates[2]
        assert catalogue.find("3") == plates[2]
        assert catalogue.find(plates[2].stem[:15]) == plates[2]
        with pytest.raises(AmbiguousPlate):
            catalogue.find("2026")
        with pytest.raises(NothingFound):
            catalogue.find("3", rehearsals=True)
        with pytest.raises(NothingFound):
            catalogue.find("%")

"""A look at every file holds for a minute, by two clocks, and only while nothing tells of a change."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from darkroom.log.catalogue import disk_state, keeping_up, last_look
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import append, frame
from darkroom.log.store import paths
from tests.kit.catalogue import by_hand, fresh, note

pytestmark = pytest.mark.usefixtures("settled")

START = last_look.LastLook("a boot", 1000.0, 5_000_000.0)


def after(seconds: float) -> last_look.LastLook:
    """Return the moment so long after the start, by both clocks."""
    return replace(START, up=START.up + seconds, wall=START.wall + seconds)


@pytest.fixture
def looked(home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch) -> Iterator[Catalogue]:
    """Return the catalogue of a log that was looked at as a whole at the start; no folder is a newest one."""
    monkeypatch.setattr(last_look, "now", lambda: START)
    monkeypatch.setattr(keeping_up, "NEWEST", 0)
    with Catalogue(home) as catalogue:
        catalogue.check()
        yield catalogue


def words(catalogue: Catalogue, text: str, at: last_look.LastLook) -> int:
    """Return how many plates have the text, as a command tells it at a moment."""
    catalogue.check_within_a_minute(now=at)
    return catalogue.count(Query(words=text))


@pytest.mark.parametrize(
    ("at", "is_looked_at"),
    [
        (after(0), False),
        (after(59.9), False),
        (after(60), True),
        (after(-0.1), True),
        (replace(after(5), wall=START.wall - 3600), True),
        (replace(after(5), wall=START.wall + 3600), True),
        (replace(after(5), up=START.up + 3600), True),
        (replace(after(5), up=START.up - 1), True),
        (replace(after(5), boot="another boot"), True),
    ],
)
def test_a_line_by_hand_to_an_old_plate_shows_within_a_minute(
    looked: Catalogue, plates: list[Path], at: last_look.LastLook, is_looked_at: bool
) -> None:
    """Only while both clocks say so the files are not looked at again: not after a minute, not where a clock
    was set back or into the future, not after another start of the machine."""
    by_hand(plates[3], note(950, "written in an editor"))
    assert words(looked, "editor", at) == int(is_looked_at)
    assert words(looked, "editor", after(60)) == 1


def test_the_newest_plates_are_looked_at_each_time(
    looked: Catalogue, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line added by hand to a plate of the newest day folders shows at once."""
    monkeypatch.setattr(keeping_up, "NEWEST", 2)
    by_hand(plates[0], note(950, "to an old one"))
    assert words(looked, "to an old one", after(1)) == 0
    by_hand(plates[-1], note(950, "to a new one"))
    assert words(looked, "to a new one", after(1)) == 1


def copied_in(home: Path, plates: list[Path]) -> None:
    """Copy a journal into a new folder."""
    folder = home / "plates" / "2024" / "2024-02-29"
    folder.mkdir(parents=True)
    (folder / "20240229-101010-copied.jsonl").write_bytes(plates[0].read_bytes())


def spilled(home: Path, plates: list[Path]) -> None:
    """Let a plate go on in a spill place, as on a full disk."""
    place = paths.spill_places()[0]
    place.mkdir(parents=True, mode=0o700)
    (place / f"{plates[0].stem}.2.jsonl").write_bytes(frame.encode(note(950, "spilled")))


AT_ONCE: dict[str, Callable[[Path, list[Path]], object]] = {
    "a line of our own programs": lambda home, plates: append.add(home, plates[0], lambda n: note(n, "x")),
    "a new folder": copied_in,
    "a new plate": lambda home, plates: (
        plates[0].with_name("20260102-030405-zzzzzz.jsonl").write_bytes(plates[0].read_bytes())
    ),
    "a plate that is gone": lambda home, plates: plates[0].unlink(),
    "a folder that is gone": lambda home, plates: plates[0].parent.rename(home / "aside"),
    "a spilled file": spilled,
}


@pytest.mark.parametrize("change", list(AT_ONCE))
def test_all_else_shows_at_once(home: Path, looked: Catalogue, plates: list[Path], change: str) -> None:
    """Whatever our own programs write and whatever comes or goes is read a second after the look."""
    before = looked.content()
    assert looked.check_within_a_minute(now=after(1)) == 0
    AT_ONCE[change](home, plates)
    looked.check_within_a_minute(now=after(1))
    assert before != looked.content() == fresh(home)


def test_nothing_is_listed_while_a_look_holds(looked: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    """No day folder but the newest is looked into, whatever the number of plates."""
    seen: list[Path] = []
    look = disk_state.look

    def counted(folder: Path) -> disk_state.FolderLook | None:
        seen.append(folder)
        return look(folder)

    monkeypatch.setattr(disk_state, "look", counted)
    monkeypatch.setattr(keeping_up, "NEWEST", 3)
    looked.check_within_a_minute(now=after(1))
    assert len(seen) == 3


def test_a_look_that_met_trouble_does_not_hold(looked: Catalogue, home: Path) -> None:
    """A folder that cannot be read is told each time, not once a minute."""
    (home / "plates" / "2026" / "2026-12-31").symlink_to(home / "nowhere" / "at all")
    looked.check()
    told = list(map(str, looked.problems))
    looked.check_within_a_minute(now=after(1))
    assert list(map(str, looked.problems)) == told


@pytest.mark.parametrize("text", [None, "", "{", '{"boot":"a boot","up":1000.0}', "1"])
def test_an_unknown_look_does_not_hold(text: str | None) -> None:
    """What cannot be read as a moment is none."""
    assert not last_look.holds(text, START)
    assert last_look.holds(last_look.as_text(START), START)

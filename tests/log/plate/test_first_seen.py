"""How long after the developer the image was first seen: as typed at review, or from a mark."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom import resources
from darkroom.bench import events as ev
from darkroom.log.plate.first_seen import WORDS, first_seen
from darkroom.log.plate.record import PlateRecord
from darkroom.log.review.mark_words import parse
from tests.kit.plates import forgotten, told

AT = "2026-03-02T20:00:00.000+01:00"
MARKED = 5.0
"""The mark of these plates is struck so many seconds after the developer went on."""


def seen(record: PlateRecord) -> float | None:
    """Return what is told of a record."""
    return first_seen(record.log, record.state, record.judged)


def reviewed(*lines: dict[str, object]) -> list[ev.AnyEvent]:
    """Return the lines of a plate with words of its mark, or details: each with the members given."""
    events = forgotten()
    mark = next(line.n for line in events if isinstance(line, ev.Mark))
    for members in lines:
        kind = ev.Detail if "key" in members else ev.Note
        about = {} if "key" in members else {"about": mark}
        events.append(kind(**{"n": events[-1].n + 1, "at": AT, "up": None, **about, **members}))  # type: ignore[arg-type]
    return events


@pytest.mark.parametrize(("typed", "seconds"), [("4 s", 4.0), ("0:05", 5.0), ("3.5s", 3.5), ("soon", None)])
def test_a_duration_that_was_typed_counts(home: Path, typed: str, seconds: float | None) -> None:
    """It is read as every duration; words that are none tell nothing, and a mark does not step in."""
    events = reviewed({"text": WORDS}, {"key": "First seen", "value": typed})
    assert seen(told(home, events)) == seconds


def test_a_mark_in_the_developing_counts_from_its_start(home: Path) -> None:
    """The mark was struck 5 s after the developer went on; other words of it tell nothing."""
    assert seen(told(home, reviewed())) is None
    assert seen(told(home, reviewed({"text": "dust fell on the film"}))) is None
    assert seen(told(home, reviewed({"text": WORDS.capitalize()}))) == MARKED


def test_a_corrected_word_counts_no_more(home: Path) -> None:
    """Words of a mark that were corrected to others tell nothing."""
    events = reviewed({"text": WORDS})
    said = events[-1]
    assert isinstance(said, ev.Note)
    events.append(msgspec.structs.replace(said, n=said.n + 1, text="a knock", corrects=said.n))
    assert seen(told(home, events)) is None


def test_a_mark_outside_the_developing_tells_nothing(home: Path) -> None:
    """A mark of the evening before, said to be the image, is no time of the developer's."""
    events = reviewed({"text": WORDS})
    mark = next(place for place, line in enumerate(events) if isinstance(line, ev.Mark))
    early = next(line for line in events if isinstance(line, ev.StageStarted) and line.stage == "sensitise")
    moved = [
        ev.Mark(n=line.n, at=early.at, up=early.up) if place == mark else line
        for place, line in enumerate(events)
    ]
    assert seen(told(home, moved)) is None


def test_the_words_stand_in_the_shipped_list() -> None:
    """The words that are looked for can be picked dry, as they stand here."""
    path = resources.profiles_dir() / "words" / "marks.yaml"
    assert WORDS in parse(path.read_bytes(), str(path))

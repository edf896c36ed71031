"""The form in which a plate is judged, in the tool, over real journals."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Any

import pytest

from darkroom.log.journal import append
from darkroom.log.plate.record import read_record
from darkroom.log.store import durable
from darkroom.screens.judging.fault_fields import PLACES
from darkroom.screens.judging.screen import JudgingScreen
from darkroom.screens.log_plate.screen import PlateScreen
from tests.kit.log_commands import journal
from tests.kit.plates import forgotten, judged, put
from tests.kit.review_hand import Looker, looking


async def opened(hand: Looker, path: Path) -> JudgingScreen:
    """Open the page of a plate and its form."""
    hand.tool.push_screen(PlateScreen(path))
    await hand.wait("j judge")
    await hand.press("j")
    await hand.wait("JUDGE PLATE 12  Trial")
    screen = hand.tool.screen
    assert isinstance(screen, JudgingScreen)
    return screen


async def to(hand: Looker, name: str) -> None:
    """Go to a field by its id."""
    screen = hand.tool.screen
    assert isinstance(screen, JudgingScreen)
    for _ in range(40):
        if screen.form.current.id == name:
            return
        await hand.press("down")
    raise AssertionError(f"no field {name}")


def events(added: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return lines without number, time and sum."""
    return [
        {key: value for key, value in line.items() if key not in ("n", "at", "up", "sum")} for line in added
    ]


def test_a_plate_is_judged_for_the_first_time(home: Path) -> None:
    """Everything typed becomes lines of the journal, read back by the reader; the page then shows it."""
    path = put(home, forgotten())
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.press("4", "down")
        await hand.type("-1/2")
        await hand.press("down", "down")
        for phrase in ("hard", "pour slower"):
            await hand.type(phrase)
            await hand.press("down")
        await to(hand, "fault 0")
        await hand.type("smoky wisps")
        await hand.press("down")
        await hand.press("right", "right")
        await to(hand, "fault 1")
        await hand.type("thumb smear")
        await hand.press("down")
        await hand.type("thumb side")
        await to(hand, "detail 0")
        await hand.type("varnish")
        await hand.press("space", "equals_sign", "space")
        await hand.type("sandarac")
        await hand.press("down", "down")
        await hand.type("kept")
        await hand.press("enter")
        text = await hand.wait("4 of 5 stars")
        assert "saved" in text

    looking(home, steps, text=None)
    added = events(journal(path)[before.count(b"\n") :])
    assert path.read_bytes().startswith(before)
    assert added == [
        {"event": "rating", "stars": 4, "exposure_stops": -0.5},
        {"event": "fault", "name": "smoky wisps", "where": PLACES[1]},
        {"event": "fault", "name": "thumb smear", "where": "thumb side"},
        {"event": "detail", "key": "contrast", "value": "hard"},
        {"event": "detail", "key": "next", "value": "pour slower"},
        {"event": "detail", "key": "varnish", "value": "sandarac"},
        {"event": "note", "text": "kept"},
    ]
    record = read_record(path)
    assert record.problems == ()
    assert record.judged.detail("next") == "pour slower"


def test_what_stands_is_shown_and_only_changes_are_written(home: Path) -> None:
    """The form opens on what stands; a changed place and an emptied note are two lines with their reason."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        text = hand.text()
        for phrase in (
            "stars         ‹ 4 of 5 **** ›",
            "next plate   −1/2",
            "next time    pour faster",
            "fault        comets",
            "where     left edge",
            "detail       varnish = sandarac",
            "note         clean shadows",
        ):
            assert phrase in text
        assert not screen.judgement.changed
        await to(hand, "where 0")
        await hand.press("right")
        assert "Stood: left edge" in hand.text()
        await to(hand, "note 0")
        await hand.press("ctrl+u")
        await to(hand, "reason")
        await hand.type("by daylight")
        assert hand.rows()[0].rstrip().endswith("changed")
        await hand.press("enter")
        await hand.wait("comets (right edge)")

    looking(home, steps, text=None)
    assert path.read_bytes().startswith(before)
    lines = journal(path)
    added = events(lines[before.count(b"\n") :])
    fault = next(line["n"] for line in lines if line["event"] == "fault")
    note_line = next(line["n"] for line in lines if line["event"] == "note")
    assert added == [
        {
            "event": "fault",
            "name": "comets",
            "where": "right edge",
            "corrects": fault,
            "reason": "by daylight",
        },
        {"event": "rating", "corrects": note_line, "reason": "by daylight"},
    ]


def test_enter_on_an_untouched_form_writes_nothing(home: Path) -> None:
    """Opening and saving leaves the journal byte for byte, its time too."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes(), path.stat().st_mtime_ns

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.press("enter")
        await hand.wait("j judge")
        assert "added" not in hand.text()

    looking(home, steps, text=None)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_escape_asks_before_it_forgets_what_was_typed(home: Path) -> None:
    """The first escape says what would be lost; a key after it takes that back; two leave it."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.press("escape")
        await hand.wait("j judge")
        await opened(hand, path)
        await hand.press("2", "escape")
        assert "not saved: escape again leaves it" in hand.text()
        await hand.press("down", "escape")
        assert isinstance(hand.tool.screen, JudgingScreen)
        await hand.press("escape")
        assert isinstance(hand.tool.screen, JudgingScreen), "a held escape is one escape"
        await hand.later(0.8)
        await hand.press("escape")
        await hand.wait("4 of 5 stars")
        assert isinstance(hand.tool.screen, PlateScreen)

    looking(home, steps, text=None)
    assert path.read_bytes() == before


def test_a_wrong_field_stops_the_saving(home: Path) -> None:
    """Enter goes to the field that cannot be read; corrected there, all is saved at once."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await hand.press("5", "down", "ctrl+u")
        await hand.type("plenty")
        await hand.press("up", "enter")
        await hand.wait("'plenty' is no number of stops")
        assert screen.form.current.id == "stops" and path.read_bytes() == before
        await hand.press("ctrl+u")
        await hand.type("+1/3")
        await hand.press("enter")
        await hand.wait("5 of 5 stars · next plate 1/3 stop more")

    looking(home, steps, text=None)


def test_a_full_disk_loses_nothing_that_was_typed(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The refusal stands in the foot, the journal is as it was, the form is as typed; later it is saved."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes()
    real = durable.write_once

    def full(fd: int, data: bytes) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, "next")
        await hand.type(", and wait")
        monkeypatch.setattr(durable, "write_once", full)
        await hand.press("enter")
        assert "not saved" in hand.rows()[-1]
        assert path.read_bytes() == before
        assert screen.judgement.at("next").value == "pour faster, and wait"
        assert "pour faster, and wait" in hand.text()
        monkeypatch.setattr(durable, "write_once", real)
        await hand.press("enter")
        await hand.wait("next time  pour faster, and wait")

    looking(home, steps, text=None)
    assert journal(path)[-1]["value"] == "pour faster, and wait"


def test_every_refusal_of_the_log_is_shown(home: Path) -> None:
    """A plate on the bench, one judged meanwhile, one that is gone: each is said, nothing is lost."""
    path = put(home, judged(forgotten()))
    whole = path.read_bytes()

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await hand.press("1")
        path.write_bytes(b"".join(whole.splitlines(True)[:9]))
        await hand.press("enter")
        assert "the plate is on the bench: note it at the bench" in hand.rows()[-1]
        path.write_bytes(whole)
        append.add(home, path, _note)
        await hand.press("enter")
        assert "judged from elsewhere meanwhile" in hand.rows()[-1]
        path.unlink()
        await hand.press("enter")
        assert hand.rows()[-1].strip()
        assert screen.judgement.at("stars").value == "1" and isinstance(hand.tool.screen, JudgingScreen)

    looking(home, steps, text=None)


def _note(n: int) -> Any:
    from tests.kit.catalogue import note

    return note(n, "from elsewhere")


@pytest.mark.parametrize("size", [(30, 8), (80, 24), (120, 40), (200, 60)])
def test_the_form_fills_any_screen(home: Path, size: tuple[int, int]) -> None:
    """Every field can be reached and seen; every row has as many cells as the screen has columns."""
    path = put(home, judged(forgotten()))

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(JudgingScreen(path))
        await hand.wait(lambda text: text.startswith("JUDGE PLATE 12"))
        screen = hand.tool.screen
        assert isinstance(screen, JudgingScreen)
        for entry in list(screen.judgement.entries):
            assert [len(row) for row in hand.rows()] == [size[0]] * size[1]
            assert any(entry.label.strip() in row for row in hand.rows()[1:-2])
            await hand.press("down")
        assert screen.form.active == 0

    looking(home, steps, text=None, size=size)

"""The picture of a plate, given at review."""

from __future__ import annotations

from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.log.plate.record import read_record
from darkroom.screens.judging.screen import JudgingScreen
from darkroom.screens.log_plate.screen import PlateScreen
from tests.kit.log_commands import Capture, journal, run_log
from tests.kit.pictures import picture_file
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking


async def _form(hand: Looker, path: Path, field: str) -> JudgingScreen:
    """Open the form of a plate at a field."""
    hand.tool.push_screen(PlateScreen(path))
    await hand.wait("j judge")
    await hand.press("j")
    await hand.wait("JUDGE PLATE 12")
    screen = hand.tool.screen
    assert isinstance(screen, JudgingScreen)
    while screen.form.current.id != field:
        await hand.press("down")
    return screen


def test_a_picture_is_checked_kept_and_shown(home: Path) -> None:
    """What is no picture is said at its field and stays typed; a picture stands on the page with its kind."""
    path = put(home, forgotten())
    before = path.read_bytes()
    (home.parent / "words.jpg").write_text("no picture")
    scan = picture_file(home.parent / "scan.dat")

    async def steps(hand: Looker) -> None:
        screen = await _form(hand, path, "picture")
        await hand.type(str(home.parent / "words.jpg"))
        await hand.press("enter")
        await hand.wait("is no picture")
        assert screen.form.current.id == "picture" and path.read_bytes() == before
        await hand.press("ctrl+u")
        await hand.type(str(scan))
        await hand.press("enter")
        await hand.wait("JPEG, 40 × 30")
        assert "picture" in hand.text() and "scan.dat" in "".join(hand.text().split())

    looking(home, steps, text=None)
    (line,) = journal(path)[before.count(b"\n") :]
    assert (line["event"], line["key"], line["value"]) == ("detail", "picture", str(scan))


def test_a_picture_that_is_gone_is_no_error(home: Path) -> None:
    """The page says so; judging something else does not ask for the picture again."""
    lines = forgotten()
    gone = str(home.parent / "gone.jpg")
    lines.append(ev.Detail(n=lines[-1].n + 1, at=lines[-1].at, up=None, key="picture", value=gone))
    path = put(home, lines)

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PlateScreen(path))
        await hand.wait("not there now")
        await hand.press("j")
        await hand.wait("JUDGE PLATE 12")
        await hand.press("3", "enter")
        await hand.wait("3 of 5 stars")

    looking(home, steps, text=None)
    assert read_record(path).judged.stars == 3


def test_an_exposure_nobody_saw_the_end_of_is_asked_for(home: Path) -> None:
    """The page asks how long it was open, the form has a field for it, and its answer counts from then on."""
    lines: list[ev.AnyEvent] = [
        msgspec.structs.replace(line, unseen=True, exposed=None)
        if isinstance(line, ev.StageEnded) and line.stage == "expose"
        else line
        for line in forgotten()
    ]
    path = put(home, lines)

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PlateScreen(path))
        await hand.wait("nobody saw when the cap went on. How long was it open? (j tells it)")
        await hand.press("j")
        await hand.wait("JUDGE PLATE 12")
        while hand.tool.screen.form.current.id != "exposed":  # type: ignore[attr-defined]
            await hand.press("down")
        await hand.type("nine")
        await hand.press("enter")
        await hand.wait("cannot be read")
        await hand.press("ctrl+u")
        await hand.type("9 s")
        await hand.press("enter")
        await hand.wait("exposed    9 s")
        assert "How long was it open?" not in hand.text()

    looking(home, steps, text=None)
    assert read_record(path).exposed == 9.0


def test_the_command_checks_a_picture_too(home: Path, capsys: Capture) -> None:
    """`log rate --picture` keeps the whole path of a picture, and refuses what is none."""
    path = put(home, forgotten())
    scan = picture_file(home.parent / "scan.png", form="PNG")
    status, _, said = run_log(capsys, "rate", "12", "--picture", str(home.parent / "gone.png"))
    assert status == 2 and "there is no such file" in said
    assert run_log(capsys, "rate", "12", "--picture", str(scan))[0] == 0
    assert read_record(path).picture == str(scan)

"""Words for marks, picked dry: from the page, in the form, from the command line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from darkroom import resources
from darkroom.bench import events as ev
from darkroom.log.plate.record import read_record
from darkroom.log.review.mark_words import parse
from darkroom.screens.log_plate.screen import PlateScreen
from darkroom.screens.widgets.chooser import Chooser
from darkroom.screens.widgets.prompt import Prompt
from tests.kit.log_commands import Capture, journal, run_log
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking


def _two_marks() -> list[ev.AnyEvent]:
    """Return the lines of a finished plate with a mark while it developed and one at its end."""
    lines: list[ev.AnyEvent] = list(forgotten())
    return [*lines, ev.Mark(n=lines[-1].n + 1, at=lines[-1].at, up=lines[-1].up)]


async def _list_of(hand: Looker, mark: str) -> Chooser:
    """Wait for the list of what may have happened at a mark."""

    def stands() -> bool:
        screen = hand.tool.screen
        return isinstance(screen, Chooser) and screen.heading.startswith(mark)

    await hand.until(stands)
    screen = hand.tool.screen
    assert isinstance(screen, Chooser)
    return screen


def _notes(path: Path) -> list[dict[str, Any]]:
    return [line for line in journal(path) if line["event"] == "note"]


def test_each_mark_is_asked_for_and_its_words_are_picked(home: Path) -> None:
    """The page asks; w offers the list for one mark after the other; the words stand beside the mark."""
    path = put(home, _two_marks())
    mark = next(line["n"] for line in journal(path) if line["event"] == "mark")

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PlateScreen(path))
        await hand.wait(lambda text: "mark 1," in text and "develop: what happened? (w picks words)" in text)
        await hand.press("w")
        chooser = await _list_of(hand, "mark 1, ")
        assert chooser.choices[1].label == "dust fell on the film"
        await hand.press("down")
        await hand.later(0.4)  # the list takes a handful of keys for one
        await hand.press("enter")
        assert (await _list_of(hand, "mark 2, ")).choices[0].label == "other words …"
        await hand.later(0.8)  # an enter that comes sooner is a bounce of the last one
        await hand.press("enter")
        await hand.until(lambda: isinstance(hand.tool.screen, Prompt))
        await hand.type("the cat came in")
        await hand.press("enter")
        await hand.wait("mark 2: the cat came in")
        assert "what happened?" not in hand.text()

    looking(home, steps, text=None)
    first, second = _notes(path)
    assert (first["text"], first["about"]) == ("dust fell on the film", mark)
    assert (second["text"], second["about"]) == ("the cat came in", _two_marks()[-1].n)
    own = resources.own_mark_words_file(home)
    assert parse(own.read_bytes(), "own") == ("the cat came in",)
    assert read_record(path).judged.notes == ("mark 1: dust fell on the film", "mark 2: the cat came in")


def test_the_form_has_a_field_for_each_mark(home: Path) -> None:
    """Left and right choose; new words are kept; later the same field corrects them."""
    path = put(home, _two_marks())

    async def go_to(hand: Looker, name: str) -> None:
        await hand.wait("JUDGE PLATE 12")
        while hand.tool.screen.form.current.id != name:  # type: ignore[attr-defined]
            await hand.press("down")

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PlateScreen(path))
        await hand.wait("j judge")
        await hand.press("j")
        await go_to(hand, "mark 1.0")
        await hand.press("right")
        await go_to(hand, "mark 2.0")
        await hand.type("the dog came in")
        await hand.press("enter")
        await hand.wait("mark 2: the dog came in")
        await hand.press("j")
        await go_to(hand, "mark 1.0")
        await hand.press("ctrl+u")
        await hand.type("a hair")
        await hand.press("enter")
        await hand.wait("mark 1: a hair")

    looking(home, steps, text=None)
    first, second, correction = _notes(path)
    assert first["about"] == correction["about"] != second["about"]
    assert (correction["text"], correction["corrects"]) == ("a hair", first["n"])
    own = parse(resources.own_mark_words_file(home).read_bytes(), "own")
    assert own == ("the dog came in", "a hair")
    assert set(read_record(path).judged.notes) == {"mark 1: a hair", "mark 2: the dog came in"}


def test_a_wrong_file_of_words_is_said_and_the_shipped_ones_are_offered(home: Path) -> None:
    """The list stands, its mistake below it."""
    path = put(home, forgotten())
    own = resources.own_mark_words_file(home)
    own.parent.mkdir(parents=True)
    own.write_text("mark:\n  - dust\n")

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PlateScreen(path))
        await hand.wait("w marks")
        await hand.press("w")
        chooser = await _list_of(hand, "mark 1, ")
        assert "the slide stuck" in [choice.label for choice in chooser.choices]
        assert "did you mean 'marks'?" in chooser.foot
        await hand.press("escape")
        await hand.until(lambda: isinstance(hand.tool.screen, PlateScreen))
        await hand.press("j")
        await hand.wait("did you mean 'marks'?")

    looking(home, steps, text=None)


def test_the_command_notes_a_mark_by_its_number(home: Path, capsys: Capture) -> None:
    """`log note --mark 1` writes about that mark; a plate without it says how many it has."""
    path = put(home, forgotten())
    assert run_log(capsys, "note", "12", "dust", "--mark", "1")[0] == 0
    assert _notes(path)[-1]["about"] == next(line["n"] for line in journal(path) if line["event"] == "mark")
    status, _, said = run_log(capsys, "note", "12", "dust", "--mark", "2")
    assert status == 2 and "the plate has no mark 2: it has 1" in said

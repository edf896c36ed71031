"""Why a plate failed, on its page: looked for in a thread, asked anew, its cause confirmed by keys."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.screens.log_plate.screen import PlateScreen
from darkroom.screens.why_failed import why_of
from darkroom.screens.widgets.pick_list import PickList
from darkroom.screens.widgets.rows import width
from tests.kit.log_commands import journal
from tests.kit.own_faults import put_own_faults
from tests.kit.plates import forgotten, judged, put
from tests.kit.review_hand import Looker, looking

AT = "2026-03-02T20:00:00.000+01:00"


def failed(home: Path, *names: str) -> Path:
    """Put a plate with these faults, and the photographer's own file of faults."""
    put_own_faults(home)
    lines = forgotten()
    faults = [
        ev.Fault(n=lines[-1].n + place, at=AT, up=None, name=name) for place, name in enumerate(names, 1)
    ]
    return put(home, [*lines, *faults])


async def opened(hand: Looker, path: Path) -> PlateScreen:
    """Open the page of a plate; wait until it tells the likeliest cause."""
    screen = PlateScreen(path)
    hand.tool.push_screen(screen)
    await hand.until(lambda: screen.why.answer is not None)
    return screen


async def all_rows(hand: Looker) -> str:
    """Scroll through the page; return all that was seen."""
    seen = []
    await hand.press("home")
    for _ in range(12):
        seen.append(hand.text())
        await hand.press("pagedown")
    return "\n".join(seen)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 14)])
def test_the_page_tells_why(home: Path, size: tuple[int, int]) -> None:
    """The likeliest cause stands with the judgement; below it what speaks for and against."""
    path = failed(home, "violet-bloom")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.wait("likely")
        text = await all_rows(hand)
        assert "fault      violet bloom" in text, "a fault is called by its label"
        for words in ("WHY IT FAILED", "lid of the box", "not recorded"):
            assert words in text
        assert all(width(row) == size[0] for row in hand.rows())
        assert "about" in text

    looking(home, steps, text=None, size=size)


def test_a_fault_of_an_older_journal_is_called_by_its_label_too(home: Path) -> None:
    """It may have been typed in any case: the page calls it as the catalogue does."""
    path = failed(home, "VIOLET-Bloom")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.wait("likely")
        assert "fault      violet bloom" in await all_rows(hand)

    looking(home, steps, text=None)


def test_the_one_advice_stands_with_the_judgement(home: Path) -> None:
    """At 80 x 24 what to do is read whole without a key, right below what it most likely came from."""
    path = failed(home, "violet-bloom")

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await hand.wait("likely")
        assert screen.why.answer is not None and screen.why.answer.plate.why is not None
        advice = screen.why.answer.plate.why.advice
        assert advice is not None
        rows = hand.rows()
        place = next(place for place, row in enumerate(rows) if row.startswith("likely"))
        lead = {"change": "change", "test": "test first", "note": "to note"}[advice.kind]
        assert rows[place + 1].startswith(f"{lead} ")
        told = " ".join(" ".join(row[11:] for row in rows[place + 1 :]).split())
        assert told.startswith(advice.do)
        assert all(caution in told for caution in advice.cautions)

    looking(home, steps, text=None)


def test_y_goes_to_why(home: Path) -> None:
    """The part stands at the top of the page, whatever is above it."""
    path = failed(home, "violet-bloom")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.wait("(y shows why)")
        await hand.press("y")
        assert hand.rows()[1].startswith("WHY IT FAILED")
        await hand.press("home")
        assert "WHY IT FAILED" not in hand.rows()[1]

    looking(home, steps, text=None)


def test_no_list_of_causes_tells_what_to_do(home: Path) -> None:
    """A remedy stands with its test and its cautions alone: lists say how likely and how often."""
    path = failed(home, "violet-bloom")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.press("c")
        await hand.wait("what did it come from?")
        assert "Close the lid" not in hand.text() and "in the shade" not in hand.text()
        await hand.type("another")
        await hand.press("enter")
        await hand.wait("shows as")
        await hand.type("tray in")
        await hand.wait("shows as crazed rim (usually), violet bloom (often)")
        assert "in the shade" not in hand.text()

    looking(home, steps, text=None)


def test_a_good_plate_has_no_such_part(home: Path) -> None:
    """Without a fault nothing is looked for, c says how to mark one, and the foot does not offer it."""
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        screen = PlateScreen(path)
        hand.tool.push_screen(screen)
        await hand.wait("j judge")
        assert not screen.why.asked and "c cause" not in hand.text()
        await hand.press("c")
        assert "no fault is marked: j marks one" in hand.rows()[-1]
        assert "WHY IT FAILED" not in await all_rows(hand)

    looking(home, steps, text=None)


def test_own_words_are_listed_and_nothing_is_inferred(home: Path) -> None:
    """A fault that the catalogue has not is named; there is no cause to confirm."""
    path = failed(home, "smoky wisps")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        text = await all_rows(hand)
        assert "not in the catalogue: smoky wisps" in text
        assert "likely" not in text
        await hand.press("c")
        assert "words of your own" in hand.rows()[-1] or "words of your own" in hand.rows()[-2]

    looking(home, steps, text=None)


def test_the_cause_is_confirmed_from_the_page(home: Path) -> None:
    """c lists the causes, the likeliest first; the choice is one line that corrects the fault's; it can be
    another, or taken back."""
    path = failed(home, "violet-bloom")
    before = journal(path)

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.press("c")
        await hand.wait("violet bloom: what did it come from?")
        assert "about" in hand.rows()[4] and "none of these" in hand.text()
        await hand.press("enter")
        await hand.wait("confirmed: ")
        first = journal(path)[-1]
        assert (first["event"], first["name"]) == ("fault", "violet-bloom")
        assert first["cause"] in ("loose lid", "hot tray") and first["corrects"] == before[-1]["n"]
        await hand.press("c")
        await hand.wait("not confirmed")
        await hand.type("none of")
        await hand.press("enter")
        await hand.wait("confirmed: none of these")
        assert journal(path)[-1]["cause"] == "none of these"
        await hand.press("c")
        await hand.wait("what did it come from?")
        await hand.type("another")
        await hand.press("enter")
        await hand.type("tray in the")
        await hand.press("enter")
        await hand.wait("confirmed: tray in the sun")
        await hand.press("c")
        await hand.wait("what did it come from?")
        await hand.type("not confirmed")
        await hand.press("enter")
        await hand.wait("not confirmed any more")

    looking(home, steps, text=None)
    last = journal(path)[-1]
    assert "cause" not in last and last["name"] == "violet-bloom"
    answer = why_of(home, path)
    assert answer.plate.why is not None and answer.plate.why.confirmed == 0


@pytest.mark.parametrize("name", ["other", "another cause", "not confirmed"])
def test_a_cause_of_any_name_can_be_confirmed(home: Path, name: str) -> None:
    """A cause of one's own that is called as a row of the list beside the causes is a cause all the same."""
    path = failed(home, "violet-bloom")
    own = home / "profiles" / "faults" / "own.yaml"
    own.write_text(own.read_text().replace("hot tray", name).replace("    label: tray in the sun\n", ""))

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        for cause, said in (("loose lid", "confirmed: lid of the box"), (name, f"confirmed: {name}")):
            await hand.press("c")
            await hand.wait("what did it come from?")
            screen = hand.tool.screen
            assert isinstance(screen, PickList)
            values = [pick.value for pick in screen.found]
            assert len(set(values)) == len(values)
            screen.under = values.index(cause)
            await hand.later(0.8)  # enter that is held acts once
            await hand.press("enter")
            await hand.wait(said)
            assert journal(path)[-1]["cause"] == cause

    looking(home, steps, text=None)


def test_of_two_faults_it_is_asked_which(home: Path) -> None:
    """The cause goes to the fault that is chosen; the other stays as it was."""
    path = failed(home, "violet-bloom", "crazed rim")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.press("c")
        await hand.wait("Of which fault is the cause known?")
        await hand.press("down", "enter")
        await hand.wait("crazed rim: what did it come from?")
        await hand.later(0.8)  # enter that is held acts once
        await hand.press("enter")
        await hand.wait("confirmed: tray in the sun")

    looking(home, steps, text=None)
    assert (journal(path)[-1]["name"], journal(path)[-1]["cause"]) == ("crazed rim", "hot tray")


def test_the_page_asks_anew_when_the_plate_is_judged(home: Path) -> None:
    """Judged from elsewhere, the page tells of the new fault; without one the part goes."""
    path = failed(home, "violet-bloom")

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await hand.press("j")
        await hand.wait("JUDGE PLATE")
        for _ in range(30):
            if hand.tool.screen.form.current.id == "fault 0":  # type: ignore[attr-defined]
                break
            await hand.press("down")
        await hand.press("ctrl+u", "enter")
        await hand.wait("saved")
        await hand.until(lambda: not screen.why.asked)
        assert "WHY IT FAILED" not in await all_rows(hand)

    looking(home, steps, text=None)


def test_a_log_that_cannot_be_read_is_said_on_the_page(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The part says so in words; the rest of the page stands."""
    path = failed(home, "violet-bloom")

    def broken(*_: object) -> None:
        raise OSError("no such disk")

    monkeypatch.setattr("darkroom.resources.checked_recipes", broken)

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        text = await all_rows(hand)
        assert "the faults cannot be read: no such disk" in text and "STAGES" in text

    looking(home, steps, text=None)


def test_a_rehearsal_is_no_failure(home: Path) -> None:
    """What was rehearsed says nothing of real plates: no cause is looked for."""
    start, *rest = judged(forgotten())
    path = put(home, [msgspec.structs.replace(start, rehearsal=True), *rest])

    async def steps(hand: Looker) -> None:
        screen = PlateScreen(path)
        hand.tool.push_screen(screen)
        await hand.wait("comets")
        assert not screen.why.asked

    looking(home, steps, text=None)

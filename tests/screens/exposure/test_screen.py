"""The exposure page: opened by one key, answered beside its form, and what it gives to the home form."""

from __future__ import annotations

from pathlib import Path

from darkroom.exposure.steps import proposed
from darkroom.screens.app import Tool
from darkroom.screens.exposure.screen import ExposureScreen
from darkroom.screens.home.screen import HomeScreen
from darkroom.session.exposure_proposal import pulls_text, rounded
from darkroom.session.plate_form import PlateForm
from tests.kit.judged_log import put_judged, put_season
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate

KIT = """\
lenses: [{name: brass lens, focal_length: 210 mm}]
places: [{name: garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}]
"""
SIZES = [(1, 1), (9, 3), (30, 8), (75, 19), (76, 20), (80, 24), (120, 40), (200, 60), (300, 90)]


def begin(tool: Tool) -> None:
    """Let the next plate's form begin with a window, a lens and a place."""
    (tool.services.home / "kit.yaml").write_text(KIT, encoding="utf-8")
    tool.form = PlateForm(
        process="clear-glass", light="north window", ev="9.5", lens="brass lens", aperture="f/5.6",
        place="garden", temperatures={"developer": "20"},
    )  # fmt: skip


def page(hand: Looker) -> ExposureScreen:
    """Return the exposure page that stands open."""
    screen = hand.tool.screen
    assert isinstance(screen, ExposureScreen)
    return screen


async def answered(hand: Looker) -> ExposureScreen:
    """Wait for the answer to what stands in the form; return the page."""
    await hand.until(lambda: not page(hand).waiting)
    return page(hand)


async def whole(hand: Looker) -> str:
    """Return all of the answer, page after page."""
    pages = [hand.text()]
    while "rows more" in pages[-1]:
        await hand.press("pagedown")
        pages.append(hand.text())
    return "\n".join(pages)


def test_the_page_tells_what_the_plates_say(home: Path) -> None:
    """The time, its interval, every factor with their sum, what weighs and does not fit, on 80 by 24."""
    put_season(home)

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        screen = await answered(hand)
        assert screen.answer is not None and screen.answer.place == "garden"
        text = await whole(hand)
        factors = ("stop   f/5.6", "ev     EV 9.5", "speed  ISO", "sum  ")
        others = ("does not fit  plate 34: judged +3.0", "Test plate: 5 strips", "window at garden", "Best ")
        for words in ("from 7", *factors, *others):
            assert words in text

    looking(home, steps, begin=begin)


def test_the_first_frame_waits_for_nothing(home: Path) -> None:
    """The form stands as soon as the key is pressed; the answer comes later and the page says so."""
    put_season(home)

    async def steps(hand: Looker) -> None:
        hand.tool.open_screen("exposure", hand.tool.form, "")
        await hand.until(lambda: isinstance(hand.tool.screen, ExposureScreen))
        await hand.wait("light on the scene")
        await answered(hand)
        assert "reckoning" not in hand.text()

    looking(home, steps, begin=begin)


def test_enter_gives_time_and_scene_to_the_home_form(home: Path) -> None:
    """What was typed on the page and its time stand in the home form from which it was opened."""

    async def steps(hand: Looker) -> None:
        await hand.wait("F8 exposure")
        await hand.press("f8")
        screen = await answered(hand)
        screen.form.go_to(screen.form.fields.index(screen.form.at("filter")))
        await hand.type("1")
        await answered(hand)
        assert screen.answer is not None and screen.answer.seconds is not None
        expected = f"{rounded(screen.answer.seconds):g} s"
        await hand.press("enter")
        await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))
        home_screen = hand.tool.screen
        assert isinstance(home_screen, HomeScreen)
        assert (expected, "1") == (home_screen.values["exposure"], home_screen.values["filter"])

    looking(home, steps, text=None, begin=begin)


def test_what_home_does_not_ask_comes_along(home: Path) -> None:
    """Sky and other light lost stand in the home form once the page gave them, and go to the plate."""

    async def steps(hand: Looker) -> None:
        await hand.wait("F8 exposure")
        await hand.press("f8")
        screen = await answered(hand)
        screen.form.go_to(screen.form.fields.index(screen.form.at("sky")))
        await hand.press("right", "right")
        screen.form.go_to(screen.form.fields.index(screen.form.at("other")))
        await hand.type("1/2")
        await answered(hand)
        await hand.press("enter")
        text = await hand.wait("other, stops lost")
        assert "hazy" in text
        values = hand.tool.screen.values  # type: ignore[attr-defined]
        assert (values["sky"], values["other"]) == ("hazy", "1/2")

    looking(home, steps, text=None, begin=begin)


def test_escape_leaves_the_home_form_as_it_was(home: Path) -> None:
    """Nothing of what was typed on the page stands in the home form afterwards."""

    async def steps(hand: Looker) -> None:
        await hand.wait("F8 exposure")
        before = hand.tool.screen.values  # type: ignore[attr-defined]
        await hand.press("f8")
        await answered(hand)
        await hand.press("down", "down")
        await hand.type("9")
        await hand.press("escape")
        await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))
        assert before == hand.tool.screen.values  # type: ignore[attr-defined]

    looking(home, steps, text=None, begin=begin)


def test_one_key_takes_the_test_plate(home: Path) -> None:
    """The strips around the time are the exposure of the home form."""

    async def steps(hand: Looker) -> None:
        await hand.wait("F8 exposure")
        await hand.press("f8")
        learned = (await answered(hand)).answer.learned  # type: ignore[union-attr]
        assert learned is not None and learned.seconds_low and learned.seconds and learned.seconds_high
        await hand.press("ctrl+t")
        await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))
        plate = proposed(learned.seconds_low, learned.seconds, learned.seconds_high)
        assert pulls_text(plate) == hand.tool.screen.values["exposure"]  # type: ignore[attr-defined]

    looking(home, steps, text=None, begin=begin)


def test_taken_from_the_log_it_stands_in_the_next_home_form(home: Path) -> None:
    """Opened from the review the page gives to the form that comes next."""

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        await answered(hand)
        await hand.press("enter")
        hand.tool.home()
        await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))
        assert hand.tool.screen.values["exposure"].endswith(" s")  # type: ignore[attr-defined]

    looking(home, steps, begin=begin)


def test_from_a_plates_page_it_begins_with_that_plate(home: Path) -> None:
    """F8 on a plate reckons from it, by its number, also where another plate has the same."""
    put_judged(home, 31, "2026-02-19", 5.0, exposure_word="right")
    put_judged(home, 31, "2026-02-20", 8.0, exposure_word="right")

    async def steps(hand: Looker) -> None:
        await hand.wait("2, newest first")
        await hand.press("enter")
        await hand.wait("PLATE 31")
        await hand.press("f8")
        await hand.wait("from plate 31: 8 s")
        assert page(hand).form.at("source").value == "plate"
        await hand.press("down")
        field = page(hand).form.current
        assert (field.id, field.value) == ("plate", "31")
        await hand.press("f8")
        assert "this is the exposure page" in hand.text()

    looking(home, steps, begin=begin)


def test_a_field_that_cannot_be_read_is_said(home: Path) -> None:
    """The mistake stands below the form with the field's name, and nothing is taken."""

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        screen = await answered(hand)
        screen.form.go_to(screen.form.fields.index(screen.form.at("ev")))
        await hand.type("x")
        await hand.wait("meter, EV ISO 100: '9.5x' cannot be read")
        await hand.press("enter")
        assert page(hand) is screen

    looking(home, steps, begin=begin)


def test_without_a_time_nothing_is_taken(home: Path) -> None:
    """No key is offered for it; enter says that there is no time yet, and the page stays."""

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        await answered(hand)
        assert "no time yet" in hand.text()
        assert all("enter take" not in row and "take the test" not in row for row in hand.text().splitlines())
        await hand.press("enter")
        assert "no time to take yet" in hand.text()

    looking(home, steps)


def test_the_plates_on_the_bench_stand_in_the_foot(home: Path) -> None:
    """With a plate in the bath the page shows its clocks in a row, and day is refused."""

    async def steps(hand: Looker) -> None:
        await make_sensitive(hand)
        await hand.press("f8")
        await answered(hand)
        assert "Safelight only" in hand.text() or "safelight" in hand.text()
        await hand.press("f9")
        assert "red stays" in hand.text()

    looking(home, steps, begin=put_plate)


def test_the_page_bears_any_size(home: Path) -> None:
    """Just as many rows as the screen has, each as wide, before and after the answer."""
    put_season(home)

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        await answered(hand)
        for columns, rows in SIZES:
            await hand.pilot.resize_terminal(columns, rows)
            await hand.pilot.pause(0.05)
            assert [columns] * rows == [len(row) for row in hand.rows()]

    looking(home, steps, begin=begin)


def test_the_latest_plate_and_one_number_of_two(home: Path) -> None:
    """Without a number it is the latest exposed plate; a number of two plates asks for an id, in one line."""
    put_judged(home, 30, "2026-02-19", 6.0, exposure_word="right")
    put_judged(home, 30, "2026-02-20", 8.0, exposure_word="right")
    put_judged(home, 31, "2026-02-21", 9.0, exposure_word="right")

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        await answered(hand)
        await hand.press("right")
        await hand.wait("from plate 31: 9 s")
        await hand.press("down")
        await hand.type("30")
        text = await hand.wait("no time yet")
        assert "Several plates are number 30: type" in text

    looking(home, steps, begin=begin)


def test_the_size_of_the_picture_goes_to_the_home_form(home: Path) -> None:
    """With a focal length it is a draw of the bellows there; without one the stops that it takes."""

    async def steps(hand: Looker) -> None:
        await hand.wait("F8 exposure")
        for lens, expected in (("brass lens", ("315", "")), ("unnamed", ("", "1.67"))):
            await hand.press("f8")
            screen = await answered(hand)
            if lens == "unnamed":
                screen.form.put("lens", lens)
                screen.form.put("draw", "")
                screen.form.put("other", "1/2")
            screen.form.go_to(screen.form.fields.index(screen.form.at("size")))
            await hand.type("1/2")
            await answered(hand)
            await hand.press("enter")
            await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))
            values = hand.tool.screen.values  # type: ignore[attr-defined]
            assert (values["draw"], values.get("other", "")) == expected

    looking(home, steps, text=None, begin=begin)


def test_what_is_asked_of_now_is_asked_again(home: Path) -> None:
    """After an hour on the page the time of day in its answer is the one that it is then."""

    async def steps(hand: Looker) -> None:
        await hand.press("f8")
        screen = await answered(hand)
        before = screen.answer
        assert before is not None
        await hand.later(3600.0)
        screen._ask()
        await hand.until(lambda: screen.answer is not before)
        assert screen.answer is not None
        assert (screen.answer.at - before.at).total_seconds() >= 3600.0

    looking(home, steps, begin=begin)

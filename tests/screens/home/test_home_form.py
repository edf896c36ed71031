"""The form of the home screen: what holds in an empty field, readings of two hours ago, and daylight."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.bench.carrying import Carrying
from darkroom.bench.clocks import assumed_carry
from darkroom.bench.fold import fold
from darkroom.bench.next_plate import got, proposed_seconds
from darkroom.process import wetness
from darkroom.resources import load_process
from darkroom.screens.home.last_advice import latest_advice
from darkroom.screens.home.offers import offer_exposure
from darkroom.screens.home.plate_fields import assumed_texts, left_fields, plate_form_of, right_fields
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.widgets.form import Field, Form
from darkroom.session.plate_form import PlateForm, plate_from, readings
from tests.kit.day import go_through_sheet
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate

TINTYPE = load_process("tintype")
AT = "2026-11-02T12:00:00.000+00:00"
NOON = 1793620800.0
"""The wall time of `AT`."""


def started(form: PlateForm) -> tuple[dict[str, tuple[float, str]], tuple[float, str] | None]:
    """Return temperatures and humidity with which a plate of the form begins at noon."""
    start = plate_from(form, TINTYPE, number=1, bench="b", boot="c", at=AT, up=1.0)
    return start.temperatures, start.humidity


def test_readings_typed_two_hours_ago_are_not_taken() -> None:
    """A reading counts for a plate until it is two hours old, each by its own time."""
    form = PlateForm(temperatures={"bath": "18", "developer": "20"}, humidity="dry")
    form.read_at = {"bath": NOON - 7200.0, "developer": NOON - 7199.0, "humidity": NOON - 60.0}
    assert started(form) == ({"developer": (20.0, "hand")}, (30.0, "hand: dry"))
    assert form.stale(NOON) == {"bath": "18"}
    form.read_at["humidity"] = NOON - 9000.0
    assert started(form)[1] is None


def test_a_reading_without_a_time_is_of_now() -> None:
    """What was just typed on the command line is taken; noted once, it grows old like the others."""
    form = PlateForm(temperatures={"bath": "18", "room": ""})
    assert started(form)[0] == {"bath": (18.0, "hand")}
    form.note_typed(NOON - 7201.0)
    assert form.read_at == {"bath": NOON - 7201.0}
    assert started(form)[0] == {}


def test_the_damp_pad_is_kept_with_the_plate() -> None:
    """A damp pad in the holder is a member of the plate's first line, absent where there is none."""
    values = {"process": "tintype", "damp_pad": "yes"}
    start = plate_from(plate_form_of(values, {}), TINTYPE, number=1, bench="b", boot="c", at=AT, up=1.0)
    assert start.damp_pad is True
    without = plate_from(PlateForm(), TINTYPE, number=1, bench="b", boot="c", at=AT, up=1.0)
    assert without.damp_pad is None


def test_an_empty_field_shows_what_holds() -> None:
    """The process's assumption, a fresh reading of the bench, and the wet time that they give."""
    texts = assumed_texts(TINTYPE, {"humidity": "dry", "timed": "no"}, {"bath": (18.46, "probe")})
    assert texts["temperature bath"] == "18.5 probe"
    assert texts["temperature water"] == "15 assumed" and texts["humidity"] == "50 assumed"
    assert texts["carry"] == f"{assumed_carry('away'):g} assumed" and texts["exposure"] == "counts up"
    carried = {"away": Carrying(42.0, 7)}
    known = assumed_texts(TINTYPE, {"timed": "no"}, {}, carried.get)
    assert known["carry"] == "42 median of 7 plates"
    assert assumed_texts(TINTYPE, {}, {}, carried.get)["carry"] == "0 assumed"
    assert TINTYPE.wet_window is not None
    assert wetness.window_seconds(TINTYPE.wet_window, 20.0, 30.0) == pytest.approx(428.57, abs=0.01)
    assert texts["wet"] == "7:09 assumed"
    read = assumed_texts(TINTYPE, {"humidity": "dry", "temperature room": "68 F"}, {})
    assert read["wet"] == "7:09 reckoned"
    assert assumed_texts(TINTYPE, {"humidity": "soggy"}, {})["wet"] == "10:00 assumed"


def test_every_label_fits_its_column() -> None:
    """At 80 columns a label leaves the field its room, and every field says what it asks."""
    fields = [*left_fields(PlateForm(), ["tintype"]), *right_fields(PlateForm(), False)]
    assert all(len(field.label) <= 19 and field.hint for field in fields)


def test_old_readings_are_offered_and_taken_by_one_key(home: Path) -> None:
    """A bath of three hours ago stands quiet in its empty field; right takes it, and it is of now."""

    async def steps(hand: Looker) -> None:
        tool = hand.tool
        wall = tool.session.clock.wall()
        form = PlateForm(process="tintype", temperatures={"bath": "17.5", "room": "21"})
        form.read_at = {"bath": wall - 3 * 3600, "room": wall - 60}
        screen = HomeScreen(form)
        await tool.push_screen(screen)
        await hand.wait("17.5 at ")
        assert (screen.values["temperature bath"], screen.values["temperature room"]) == ("", "21")
        screen.form.go_to(screen.form.fields.index(screen.form.at("temperature bath")))
        await hand.press("right")
        assert screen.values["temperature bath"] == "17.5"
        taken = plate_form_of(screen.values, screen.read_at)
        assert taken.stale(wall + 60) == {} and readings(taken) == {"bath": "17.5", "room": "21"}

    looking(home, steps, text=None)


def test_daylight_is_asked_only_while_no_plate_needs_the_safelight(home: Path) -> None:
    """With a plate in the bath the form does not ask it, and nothing turns the screen to day."""

    async def steps(hand: Looker) -> None:
        tool = hand.tool
        await hand.wait("screen in daylight")
        put_plate(tool)
        await make_sensitive(hand)
        screen = HomeScreen(PlateForm(process="tintype"))
        await tool.push_screen(screen)
        await hand.wait("damp pad")
        assert "screen in daylight" not in hand.text() and "daylight" not in screen.values
        tool.set_daylight(True)
        tool.offer(PlateForm(process="tintype"))
        await hand.pilot.pause(0.1)
        assert not tool.day and not tool.stands_in_daylight

    looking(home, steps, text=None)


def test_a_yes_that_comes_too_late_turns_nothing_to_day(home: Path) -> None:
    """A form that was opened before the plate became sensitive says yes after it: the screen stays red."""

    async def steps(hand: Looker) -> None:
        tool = hand.tool
        await hand.wait("screen in daylight")
        screen = tool.screen
        assert isinstance(screen, HomeScreen)
        screen.form.put("daylight", "yes")
        go_through_sheet(home, tool.services.bench_id)
        put_plate(tool)
        await make_sensitive(hand)
        await tool.push_screen(screen)
        screen.submit()
        await hand.pilot.pause(0.1)
        assert not tool.day

    looking(home, steps, text=None)


def test_a_proposed_exposure_is_offered_and_never_taken_unasked(home: Path) -> None:
    """After "more" the form keeps what stood there; right takes what is proposed, right again goes back."""
    lines = forgotten()
    rating = ev.Rating(n=lines[-1].n + 1, at=AT, up=None, exposure_word="more")
    put(home, [*lines, rating])
    advice = latest_advice(home)["Trial"]
    exposed = got(fold(lines))
    assert exposed is not None and advice.seconds == proposed_seconds(exposed, 0.5)
    proposed = f"{advice.seconds:g} s"
    field = Field("exposure", "exposure, s", value="8 s")
    offer_exposure(field, advice)
    form = Form([field])
    assert field.value == "8 s" and f"{proposed} is proposed from plate" in field.hint
    form.key("right", None)
    assert field.value == proposed
    offer_exposure(field, advice)
    form.key("right", None)
    assert field.value == "8 s"
    offer_exposure(field, None)
    assert field.options == () and "proposed" not in field.hint

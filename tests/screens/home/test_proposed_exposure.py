"""The home form stands at once, and beside its exposure what the judged plates propose for it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.exposure.learned import Learned
from darkroom.process.scene import Scene
from darkroom.screens.home.form_rows import advice_words, proposal_row
from darkroom.screens.home.last_advice import Advice
from darkroom.screens.home.offers import offer_exposure
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.widgets.form import Field, Form
from darkroom.session.exposure_proposal import proposed_exposure, proposed_strips, pulls_text, sentence
from darkroom.session.plate_form import PlateForm
from tests.kit.day import go_through_sheet
from tests.kit.exports import shelve, worked
from tests.kit.learned import learned
from tests.kit.review_hand import Looker, looking

SCENE = Scene(light="north window", kind="window", f_number=5.6)
FORM = PlateForm(process="clear-glass", light="north window", aperture="f/5.6")


def judged_plate(home: Path, plate: str, number: int, **rating: Any) -> None:
    """Put a plate of clear glass at a window into the log, judged as told."""
    lines = [line for line in worked(plate, number) if not isinstance(line, ev.Rating)]
    start = lines[0]
    assert isinstance(start, ev.PlateStarted)
    process = {**start.process, "name": "Clear-glass ambrotype"}
    lines[0] = msgspec.structs.replace(start, scene=SCENE, process=process)
    at = "2026-10-02T12:00:00.000+00:00"
    shelve(home, [*lines, ev.Rating(n=lines[-1].n + 1, at=at, up=None, **rating)])


def strips_of(told: Learned) -> str:
    """Return the test plate of what was learned as the form takes it."""
    strips = proposed_strips(told)
    assert strips is not None
    return pulls_text(strips)


async def opened(hand: Looker, form: PlateForm) -> HomeScreen:
    """Open the home screen with a form."""
    screen = HomeScreen(form)
    await hand.tool.push_screen(screen)
    return screen


def test_without_a_judged_plate_it_says_what_is_assumed(home: Path) -> None:
    """A first plate has a wide interval that is called assumed, and one key takes a test plate for it."""

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, FORM)
        await hand.wait("assumed: no judged plate tells it yet")
        assert screen.learned is not None and screen.values["exposure"] == ""
        screen.form.go_to(screen.form.fields.index(screen.form.at("exposure")))
        await hand.press("right")
        assert screen.values["exposure"] == strips_of(screen.learned)
        await hand.press("right")
        assert screen.values["exposure"].endswith(" s")
        await hand.press("right")
        assert screen.values["exposure"] == ""

    looking(home, steps, text=None)


def test_judged_plates_narrow_what_is_proposed(home: Path) -> None:
    """Three plates at the same window propose a time near theirs; it says how many and which."""
    for number, plate in enumerate(("20261001-09000", "20261001-10000", "20261001-11000"), 12):
        judged_plate(home, f"{plate}0-aaaaa{number % 10}", number, exposure_word="right")

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, FORM)
        await hand.wait("from 3 plates: mostly")
        assert screen.learned is not None and screen.learned.seconds is not None
        assert sentence(screen.learned) in hand.text()
        low, high = screen.learned.seconds_low, screen.learned.seconds_high
        assert low is not None and high is not None and high / low < 8
        screen.form.go_to(screen.form.fields.index(screen.form.at("light")))
        await hand.press("end", *["backspace"] * len("north window"))
        await hand.wait("no time is proposed")
        assert screen.learned.seconds is None

    looking(home, steps, text=None)


def test_the_plate_keeps_its_scene_and_what_was_proposed(home: Path) -> None:
    """What is put on the bench has the scene of the form and the proposal as it stood there."""
    judged_plate(home, "20261001-090000-aaaaaa", 12, exposure_stops=1.0)
    form = msgspec.structs.replace(FORM, collodion="C-4 2026-11-02", camera="field camera", holder="2")

    async def steps(hand: Looker) -> None:
        go_through_sheet(home, hand.tool.services.bench_id)
        screen = await opened(hand, form)
        await hand.wait("from 1 plate")
        assert screen.learned is not None
        proposed = proposed_exposure(screen.learned)
        screen.submit()
        start = hand.tool.session.bench.plates[""].start
        assert (start.scene, start.proposed) == (SCENE, proposed)
        assert (start.camera, start.holder) == ("field camera", "2")
        assert start.bottles == {"collodion": "C-4 2026-11-02"}

    looking(home, steps, text=None)


def test_a_draw_that_cannot_be_is_told_at_its_field(home: Path) -> None:
    """A bellows draw without a known focal length stops the form there, and no text is lost."""

    async def steps(hand: Looker) -> None:
        go_through_sheet(home, hand.tool.services.bench_id)
        screen = await opened(hand, msgspec.structs.replace(FORM, lens="landscape lens", draw="450"))
        screen.submit()
        screen.draw()
        assert "focal length of the lens is not known" in hand.text()
        assert screen.form.current.id == "draw" and not hand.tool.session.bench.plates
        screen._show_assumed()
        assert "no time is proposed" not in hand.text()
        screen.form.put("lens", "landscape lens 300 mm")
        screen.submit()
        start = hand.tool.session.bench.plates[""].start
        assert start.scene is not None and start.scene.bellows == pytest.approx(1.17, abs=0.01)

    looking(home, steps, text=None)


def test_what_is_offered_goes_back_to_what_was_typed(home: Path) -> None:
    """Right takes the time, then the test plate, then what a hand typed; a new proposal keeps that."""
    field = Field("exposure", "exposure, s", value="7 s")
    form = Form([field])
    for told in (learned(12), learned(12)):
        offer_exposure(field, None, told)
    taken = []
    for _ in range(3):
        form.key("right", None)
        taken.append(field.value)
    assert taken == ["8 s", strips_of(learned(12)), "7 s"]
    offer_exposure(field, None, learned(12, 8.0, 16.0, 32.0))
    form.key("right", None)
    assert field.value == "16 s"
    form.key("left", None)
    assert field.value == "7 s"


@pytest.mark.parametrize(
    ("told", "wet", "hint"),
    [
        (learned(0, 0.1, 0.5, 2.0), None,
         "0.5 s, assumed: too short by hand: stop down 2 stops, or take a filter."),
        (learned(3, 0.1, 0.5, 2.0), None,
         "0.5 s: too short by hand: stop down 2 stops, or take a filter."),
        (learned(3, 60.0, 240.0, 960.0), 600.0,
         "Right takes 240 s; right again a test plate, 16:00 in all, but wet 10:00."),
        (learned(0, 60.0, 240.0, 960.0), 600.0,
         "Right takes a test plate, 16:00 in all, but wet 10:00; right again 240 s, assumed."),
        (learned(3, 60.0, 240.0, 960.0), 1000.0,
         "Right takes 240 s; right again a test plate, 60,60,120,240,480."),
    ],
)  # fmt: skip
def test_what_a_hand_or_a_wet_plate_cannot_do_is_said_where_it_is_offered(
    told: Learned, wet: float | None, hint: str
) -> None:
    """Too short a time is offered with what helps, assumed or not; so are strips past the wet time."""
    field = Field("exposure", "exposure, s")
    offer_exposure(field, None, told, wet)
    assert field.hint == hint
    assert f"{told.seconds:g} s" in field.options


def test_a_proposal_too_short_for_a_hand_says_what_helps() -> None:
    """Above the keys stands how far to stop down in place of an interval that no hand makes."""
    text = "".join(text for text, _ in proposal_row(80, learned(3, 0.1, 0.5, 2.0)))
    assert text.startswith("0.5 s is too short by hand: stop down 2 stops, or take a filter")
    assert "F8 exposure" in text


def test_an_unreadable_log_proposes_nothing(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Why it cannot be read is said, nothing is called assumed, and the next look may do better."""
    from darkroom.log.catalogue import judged_plates as log

    judged_plate(home, "20261001-090000-aaaaaa", 12, exposure_stops=1.0)
    read = log.judged_plates
    monkeypatch.setattr(log, "judged_plates", lambda home: log.JudgedPlates(trouble="the log is locked"))

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, FORM)
        while "the log is locked" not in (hand.tool.notice or ""):
            await hand.pilot.pause(0.02)
        assert screen.learned is None and "assumed: no" not in hand.text()
        monkeypatch.setattr(log, "judged_plates", read)
        screen._show_assumed()
        await hand.wait("from 1 plate")
        assert "locked" not in (hand.tool.notice or "")

    looking(home, steps, text=None)


def test_a_list_that_is_cut_says_so() -> None:
    """The strips of a test plate that do not fit their field show that some are not seen."""
    field = Field("exposure", "exposure, s", value="0.16,0.34,1,3.2,10.3")
    form = Form([field, Field("other", "other")])
    text = "".join(span for span, _ in form.line(field, [("label ", "text")], 22))
    assert text.startswith("label  …") and text.rstrip().endswith("3.2,10.3")
    form.cursor = 0
    text = "".join(span for span, _ in form.line(field, [("label ", "text")], 22))
    assert text.startswith("label  0.16,0.34,1") and text.rstrip().endswith("…")


def test_another_time_than_the_proposed_one_is_said() -> None:
    """What stands in the form from the last plate is named beside the proposal, and no judgement twice."""
    advice = Advice("from plate 3: cover the bath, half a stop more", 11.0, "from plate 3: cover the bath")
    another = "the form has 7.7 s, not what is proposed"
    assert advice_words(advice, learned(12), "7.7 s") == f"from plate 3: cover the bath; {another}"
    assert advice_words(None, learned(12), "7.7 s") == another
    assert advice_words(advice, learned(12), "8 s") == "from plate 3: cover the bath"
    for exposure in ("", strips_of(learned(12)), "soon"):
        assert advice_words(None, learned(12), exposure) == ""
    assert advice_words(advice, learned(0), "7.7 s") == advice.text == f"{advice.words}: 11 s"
    assert advice_words(None, None, "") == ""


@pytest.mark.parametrize("plates", [0, 12])
def test_strips_of_another_question_are_said(plates: int) -> None:
    """A test plate that was taken for another stop stands in the form: it is no more the proposed one."""
    before, now = learned(plates), learned(plates, 20.0, 32.0, 52.0)
    strips = strips_of(before)
    assert advice_words(None, before, strips) == ""
    assert advice_words(None, now, strips) == f"the form has {strips}, not what is proposed"

"""From what is asked on the exposure page to its answer."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from darkroom.errors import NothingFound, QuantityError
from darkroom.exposure.daylight import expected_ev
from darkroom.exposure.kit import Kit, Lens, NamedLight, Place
from darkroom.exposure.sun import position
from darkroom.log.catalogue.judged_plates import JudgedPlates, judged_plates
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.process.scene import Scene
from darkroom.process.text.lens_words import magnification
from darkroom.screens.exposure.answer import Answer, Question
from darkroom.screens.exposure.asking import zone_of
from darkroom.screens.exposure.fields import speed, stops
from darkroom.screens.exposure.reckoning import reckon
from darkroom.session.plate_form import PlateForm
from tests.kit.judged_log import put_judged, put_season

NOW = datetime(2026, 6, 21, 12, 0, tzinfo=ZoneInfo("UTC"))
KIT = Kit(
    lenses=(Lens(name="petzval", focal=200.0),),
    lights=(NamedLight(name="north window", kind="window"),),
    places=(
        Place(name="garden", latitude=48.1, longitude=11.6, zone="Europe/Berlin"),
        Place(name="island", latitude=78.2, longitude=15.6, zone="Europe/Oslo"),
        Place(name="nowhere", latitude=0.0, longitude=0.0, zone="Mars/Olympus"),
    ),
)


def ask(
    source: str,
    home: Path | None = None,
    plates: JudgedPlates | None = None,
    now: datetime = NOW,
    zones: Any = zone_of,
    asked: dict[str, Any] | None = None,
    **form: str,
) -> Answer:
    """Return the answer to a question; `form` is what stands in the plate form."""

    def record_of(word: str) -> PlateRecord:
        files = sorted(home.rglob(f"*-{int(word):06d}-aaaaaa.jsonl")) if home and word.isdigit() else []
        if not files:
            raise NothingFound(f"no plate '{word}' in the log")
        return read_record(files[0])

    judged = plates or (judged_plates(home) if home else JudgedPlates())
    question = Question(source=source, form=PlateForm(**form), process="clear", **(asked or {}))
    return reckon(question, KIT, judged, record_of, now, zones)


def strips_of(answer: Answer) -> int:
    """Return how many strips the test plate of an answer has."""
    assert answer.strips is not None, answer.no_strips
    return len(answer.strips.pulls)


def factors(answer: Answer) -> dict[str, float]:
    """Return {what: stops} of an answer."""
    assert answer.planned is not None, answer.says
    return {factor.what: round(factor.stops, 2) for factor in answer.planned.factors}


def test_by_a_meter_with_a_typed_speed() -> None:
    """At f/5.6, EV 10 and ISO 0.5 the time is 6.125 s, and the factors are those of stop, light and speed."""
    answer = ask("meter", asked={"speed": 0.5}, aperture="f/5.6", ev="10")
    assert answer.seconds == pytest.approx(6.125, rel=1e-3)
    assert factors(answer) == {"stop": 4.97, "ev": -10.0, "speed": 7.64}


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({"aperture": "f/5.6"}, "What does the meter say? Type its EV, lux or foot-candles."),
        ({"ev": "10"}, "The f-number is not known, so there is no time."),
    ],
)
def test_what_the_meter_needs(form: dict[str, str], says: str) -> None:
    """Without a reading or an f-number there is no time, and one sentence says what is missing."""
    answer = ask("meter", **form)
    assert answer.seconds is None
    assert answer.strips is None
    assert says in answer.says


def test_without_a_judged_plate(tmp_path: Path) -> None:
    """The time is what is believed of any plate, it says so, and a test plate is laid out around it."""
    answer = ask("plates", aperture="f/5.6", light="window")
    assert answer.learned is not None
    assert answer.learned.plates == 0
    assert answer.seconds == pytest.approx(answer.learned.seconds)
    assert any("No judged plate yet" in sentence for sentence in answer.says)
    assert answer.strips is not None
    assert answer.strips.totals == (1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0)
    assert answer.no_strips == ""


def test_from_the_judged_plates(tmp_path: Path) -> None:
    """The factors make the time that was learned; plates that weigh, slip and disagree are named."""
    put_season(tmp_path)
    answer = ask("plates", tmp_path, aperture="f/5.6", light="north window", ev="9.5")
    learned = answer.learned
    assert learned is not None
    assert learned.plates == 7
    assert answer.seconds == pytest.approx(learned.seconds)
    assert [plate.number for plate in learned.unfitting] == [34]
    assert [pair.numbers for pair in learned.disagree] == [(34, 35)]


def test_a_light_without_a_meter_is_one_factor(tmp_path: Path) -> None:
    """What a named light gives is learned as a whole: its factor makes the time with stop and light lost."""
    put_judged(tmp_path, 31, "2026-02-20", 8.0, Scene(light="north window", kind="window", f_number=5.6),
               exposure_word="right")  # fmt: skip
    answer = ask("plates", tmp_path, aperture="f/8", light="north window", filter="1")
    assert answer.seconds == pytest.approx(answer.learned.seconds if answer.learned else None)
    assert {"stop", "light", "filter"} == set(factors(answer))
    assert answer.counted_from == "from 1 s at f/1"


def test_from_one_plate(tmp_path: Path) -> None:
    """Its time and all that differs: f/5.6 to f/8 is a stop, life size two."""
    put_judged(tmp_path, 31, "2026-02-20", 8.0, exposure_stops=0.5)
    asked = {"plate": "31", "size": 1.0, "stops": -1.0}
    answer = ask("plate", tmp_path, asked=asked, aperture="f/8")
    assert factors(answer) == {"stop": 1.03, "bellows": 2.0, "stops": -1.0, "age": 0.36}
    assert answer.seconds == pytest.approx(8.0 * 2 ** (2.03 + 0.36), rel=0.01)
    assert answer.counted_from.startswith("from plate 31: 8 s, f/5.6, north window")


def test_from_one_plate_it_is_of_that_plates_process(tmp_path: Path) -> None:
    """The interval around the time of a plate is learned for its own process, whatever stands at home."""
    plate = put_judged(tmp_path, 31, "2026-02-20", 8.0, exposure_stops=0.5)
    own = read_record(plate).state
    assert own is not None
    assert own.process.name != "clear"
    assert ask("plate", tmp_path, asked={"plate": "31"}).process == own.process.name
    assert ask("plates", tmp_path).process == "clear"


def test_a_flash_has_no_time_by_a_meter(tmp_path: Path) -> None:
    """A meter's reading gives no time for a flash, as the judged plates give none."""
    for source in ("meter", "plates"):
        answer = ask(source, tmp_path, aperture="f/8", light="flash", ev="10")
        assert answer.seconds is None
        assert "A flash gives its light at once, so there is no time." in answer.says


def test_an_empty_form_is_as_on_the_plate(tmp_path: Path) -> None:
    """Nothing typed changes nothing but what time does: the age of its collodion."""
    put_judged(tmp_path, 31, "2026-02-20", 8.0, exposure_word="right")
    assert factors(ask("plate", tmp_path, asked={"plate": "31"})) == {"age": 0.36}
    assert factors(ask("plate", tmp_path, asked={"plate": "31"}, light="North  Window")) == {"age": 0.36}


def test_another_light_than_on_the_plate(tmp_path: Path) -> None:
    """A reading changes the time by its difference, another light by its usual brightness and its colour."""
    put_judged(tmp_path, 31, "2026-02-20", 8.0, exposure_word="right")
    read = factors(ask("plate", tmp_path, asked={"plate": "31"}, light="north window", ev="11"))
    assert read["ev"] == -1.5
    other = factors(ask("plate", tmp_path, asked={"plate": "31"}, light="shade"))
    assert (other["ev"], other["light"]) == (-2.0, -0.6)


def test_no_such_plate(tmp_path: Path) -> None:
    """A plate that is not in the log gives no time, and one sentence says so."""
    answer = ask("plate", tmp_path, asked={"plate": "77"})
    assert answer.seconds is None
    assert answer.says == ["No plate '77' in the log."]


def test_how_the_plate_was_judged_is_in_the_time(tmp_path: Path) -> None:
    """Half a stop more that was wanted is in the time; stops that are typed stand in its place."""
    put_judged(tmp_path, 31, "2026-02-20", 8.0, exposure_stops=0.5)
    answer = ask("plate", tmp_path, asked={"plate": "31"})
    assert factors(answer) == {"judged": 0.5, "age": 0.36}
    assert answer.seconds == pytest.approx(8.0 * 2 ** (0.5 + 0.36), rel=0.01)
    assert answer.judged == "judged: half a stop more"
    typed = ask("plate", tmp_path, asked={"plate": "31", "stops": 0.0})
    assert (factors(typed), typed.judged) == ({"age": 0.36}, "")
    assert any("what is typed stands in place of that" in sentence for sentence in typed.says)


def test_by_the_sun() -> None:
    """At a place the light is that of the sun's height there at the typed time, and the day has a curve."""
    answer = ask("sun", asked={"speed": 1.0, "at": "13:15"}, place="Garden", aperture="f/8")
    assert answer.at.isoformat() == "2026-06-21T13:15:00+02:00"
    light = expected_ev("sun", position(48.1, 11.6, answer.at).altitude)
    assert light is not None
    assert answer.seconds == pytest.approx(6400.0 / 2**light.ev, rel=0.01)
    assert "The light is taken as the sun's." in answer.says
    assert answer.light is not None
    assert answer.light.best is not None
    assert (answer.place, answer.kind) == ("garden", "sun")


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({}, "Where? Type a place of your kit: its file is kit.yaml."),
        ({"place": "moon"}, "No place of kit.yaml is called moon."),
        ({"place": "gardn"}, "No place of kit.yaml is called gardn: did you mean 'garden'?"),
        ({"light": "north windw"}, "No light is called north windw yet: did you mean 'north window'?"),
        ({"place": "nowhere"}, "No time zone is called 'Mars/Olympus' on this machine."),
        ({"place": "garden", "light": "tungsten"}, "The sun says nothing of tungsten."),
    ],
)
def test_what_the_sun_needs(form: dict[str, str], says: str) -> None:
    """Without a place of the kit, and for lamps, the sun says nothing, and one sentence says why."""
    answer = ask("sun", aperture="f/8", **form)
    assert says in answer.says
    assert answer.light is None


def test_polar_night() -> None:
    """Where no sun rises it is said how high it comes, and there is no time."""
    answer = ask("sun", asked={"at": "2026-12-21 12:00"}, place="island", aperture="f/8")
    assert answer.seconds is None
    assert any("too low to say how bright it is" in sentence for sentence in answer.says)
    assert any("the sun comes to -12° at most" in sentence for sentence in answer.says)


def test_a_draw_needs_a_focal_length() -> None:
    """A draw without one, or shorter than it, is said; the rest is reckoned without it."""
    answer = ask("meter", asked={"speed": 1.0}, aperture="f/5.6", ev="10", draw="450")
    assert any("focal length of the lens is not known" in sentence for sentence in answer.says)
    short = ask("meter", asked={"speed": 1.0}, aperture="f/5.6", ev="10", draw="150", lens="petzval")
    assert any("shorter than the focal length" in sentence for sentence in short.says)
    assert answer.seconds == pytest.approx(short.seconds)


def test_the_size_of_the_picture() -> None:
    """Half life size takes 1.17 stops, and with the focal length known the draw of the bellows is told."""
    answer = ask("meter", asked={"speed": 1.0, "size": 0.5}, aperture="f/5.6", ev="10", lens="Petzval")
    assert factors(answer)["bellows"] == 1.17
    assert answer.draw == pytest.approx(300.0)


def test_a_log_that_cannot_be_read_is_said() -> None:
    """The page answers with what is believed of any plate, and says that the log could not be read."""
    answer = ask("plates", plates=JudgedPlates(trouble="the log cannot be looked at: it is locked"))
    assert "the log cannot be looked at: it is locked" in answer.says
    assert answer.learned is not None


def test_a_zone_is_asked_once_a_place_is_known() -> None:
    """Without a place of the kit no time zone is read."""

    def no_zone(name: str) -> tzinfo:
        raise AssertionError(name)

    assert ask("plates", zones=no_zone, aperture="f/8").at == NOW


def test_an_aperture_that_says_no_number() -> None:
    """Words of no stop of the lens are no f-number, and there is no time."""
    answer = ask("meter", asked={"speed": 1.0}, aperture="wide", ev="10")
    assert answer.seconds is None
    assert "'wide' says no f-number: write f/8, or name a stop of the lens in kit.yaml." in answer.says


@pytest.mark.parametrize(
    ("texts", "says"),
    [({"aperture": "f/0"}, "'f/0' is out of range"), ({"aperture": "f/3000"}, "'f/3000' is out of range"),
     ({"aperture": "f/8", "lens": "210 mm", "draw": "100"}, "shorter than the focal length")],
)  # fmt: skip
def test_what_cannot_be_has_no_time_to_take(texts: dict[str, str], says: str) -> None:
    """A stop or a draw that cannot be is said above all else; no time and no test plate stand beside it."""
    answer = ask("meter", asked={"speed": 1.0}, ev="10", **texts)
    assert (answer.seconds, answer.strips) == (None, None)
    assert says in answer.says[0]


def test_how_many_strips_is_the_interval_s_or_typed() -> None:
    """Around a metered time lie seven strips for the doubt before any plate, or as many as are typed."""
    assert strips_of(ask("meter", asked={"speed": 1.0}, aperture="f/8", ev="8")) == 7
    typed = ask("meter", asked={"speed": 1.0, "strips": 6}, aperture="f/8", ev="8")
    assert strips_of(typed) == 6


def test_a_time_too_short_for_strips_says_why() -> None:
    """A time that no hand opens the lens for has no test plate, and how far to stop down is said."""
    answer = ask("meter", asked={"speed": 100.0}, aperture="f/4", ev="10")
    assert answer.seconds == pytest.approx(1 / 64)
    assert answer.strips is None
    assert answer.no_strips == ("0.016 s is too short by hand: stop down 7 stops, or take a filter.")


def test_a_meter_that_says_nothing_gives_no_time() -> None:
    """The usual light of a kind is no reading: reckoned from the meter there is no time without one."""
    answer = ask("meter", asked={"speed": 1.0}, aperture="f/8", light="shade")
    assert answer.seconds is None
    assert any("What does the meter say?" in sentence for sentence in answer.says)


def test_a_time_that_cannot_be_exposed_is_said() -> None:
    """A product of mistyped figures is refused in one line and not shown as a time."""
    answer = ask("meter", asked={"speed": 10000.0}, aperture="f/1", ev="25")
    assert answer.seconds is None
    assert any("is no time that can be exposed" in sentence for sentence in answer.says)


@pytest.mark.parametrize(
    ("reader", "text"),
    [(magnification, "0"), (magnification, "-1"), (speed, "0"), (speed, "nan"), (stops, "99"), (stops, "x")],
)
def test_fields_refuse_what_cannot_be(reader: Callable[[str], float], text: str) -> None:
    """A magnification or a speed of nothing, and stops out of range, are refused where they are typed."""
    with pytest.raises(QuantityError, match="expected"):
        reader(text)


def test_fields_read_fractions() -> None:
    """Sizes and stops are typed as people write them."""
    assert (magnification("1:4"), magnification("1/2"), stops("-1/2"), speed("1/4")) == (
        0.25,
        0.5,
        -0.5,
        0.25,
    )

"""What the home form says of light and lens becomes a scene, by the words alone or with the kit."""

from __future__ import annotations

import math
from datetime import datetime

import pytest
from msgspec.structs import replace

from darkroom.errors import QuantityError
from darkroom.exposure import daylight, sun
from darkroom.exposure.kit import Camera, Kit, Lens, NamedLight, Place, Stop
from darkroom.process.scene import Scene
from darkroom.session.plate_form import PlateForm, check
from darkroom.session.plate_scene import conditions_of, mistakes, scene_of

KIT = Kit(
    lenses=(
        Lens(
            name="Brass portrait lens",
            focal=210.0,
            front=1.1,
            stops=(Stop(name="wide open", f_number=3.6), Stop(name="no. 2", diameter=26.0)),
        ),
    ),
    lights=(
        NamedLight(name="north window", kind="window", ev=9.5),
        NamedLight(name="skylight", kind="window"),
    ),
    places=(Place(name="garden", latitude=52.09, longitude=5.12, zone="Europe/Amsterdam"),),
)
NOON = datetime.fromisoformat("2026-06-21T13:40+02:00")


def test_a_form_that_says_nothing_has_no_scene() -> None:
    """An empty form writes no member."""
    assert scene_of(PlateForm(subject="Jug"), Kit()) is None


def test_words_alone_give_what_they_say() -> None:
    """Without a kit an f-number and a kind of light are read from the words, and nothing else is guessed."""
    scene = scene_of(PlateForm(light="open shade", aperture="f/5.6", lens="petzval"), Kit())
    assert scene == Scene(light="open shade", kind="shade", f_number=5.6)
    assert scene_of(PlateForm(light="attic", aperture="third stop"), Kit()) == Scene(light="attic")


def test_a_plain_kind_has_its_usual_light() -> None:
    """A plain kind of light has its usual EV, and says that it is no reading."""
    scene = scene_of(PlateForm(light="Window"), Kit())
    assert scene is not None and (scene.kind, scene.ev, scene.ev_from) == ("window", 9.0, "light")


def test_a_meter_wins_over_what_is_usual() -> None:
    """A reading in EV or lux is the plate's light, whatever the light is called."""
    metered = scene_of(PlateForm(light="north window", ev="10.3"), KIT)
    assert metered is not None and (metered.ev, metered.ev_from) == (10.3, "meter")
    in_lux = scene_of(PlateForm(ev="2560 lux"), Kit())
    assert in_lux is not None and (in_lux.ev, in_lux.ev_from) == (10.0, "lux")
    in_feet = scene_of(PlateForm(ev="238 foot-candles"), Kit())
    assert in_feet is not None and in_feet.ev == pytest.approx(10.0, abs=0.01)


def test_a_light_of_the_kit_has_its_own_brightness_or_a_level_of_its_own() -> None:
    """The kit's EV counts; a named light without one has none, so that its plates teach it."""
    known = scene_of(PlateForm(light="NORTH window"), KIT)
    assert known is not None and (known.kind, known.ev, known.ev_from) == ("window", 9.5, "light")
    unknown = scene_of(PlateForm(light="skylight"), KIT)
    assert unknown is not None and (unknown.kind, unknown.ev, unknown.ev_from) == ("window", None, None)


def test_stops_of_the_kit_by_name() -> None:
    """A stop's name gives its f-number, or focal length over the pupil of its opening."""
    wide = scene_of(PlateForm(lens="brass portrait lens", aperture="Wide open"), KIT)
    second = scene_of(PlateForm(lens="brass portrait lens", aperture="no. 2"), KIT)
    assert wide is not None and wide.f_number == 3.6
    assert second is not None and second.f_number == pytest.approx(210 / (26 * 1.1), abs=0.005)
    assert scene_of(PlateForm(lens="another", aperture="no. 2"), KIT) is None


@pytest.mark.parametrize(("aperture", "number"), [("8", 8.0), ("f/5,6", 5.6), ("US 4", 8.0), ("f 11", 11.0)])
def test_a_number_alone_is_an_f_number(aperture: str, number: float) -> None:
    """Where the aperture is asked for a bare number is one; the old Uniform System says that it is meant."""
    scene = scene_of(PlateForm(aperture=aperture), Kit())
    assert scene is not None and scene.f_number == number


@pytest.mark.parametrize("aperture", ["f/0", "0", "-8", "f/3000", "f/0.01", "8.8.8", "US 0"])
def test_a_number_that_is_no_aperture_is_a_mistake(aperture: str) -> None:
    """A slip in the number is told at its field, before the plate is on the bench."""
    assert "such as f/5.6" in mistakes(PlateForm(aperture=aperture), KIT)["aperture"]


def test_daylight_follows_the_sun_at_a_place_of_the_kit() -> None:
    """Sun on the scene is reckoned for the altitude of the instant; shade follows the sky's light."""
    scene = scene_of(PlateForm(light="sun", place="garden", sky="hazy"), KIT, NOON)
    altitude = sun.position(52.09, 5.12, NOON).altitude
    expected = daylight.expected_ev("sun", altitude, None, "hazy")
    assert scene is not None and expected is not None
    assert (scene.ev, scene.ev_from) == (round(expected.ev, 2), "sun")
    assert scene.sun_altitude == round(altitude, 1) and (scene.place, scene.sky) == ("garden", "hazy")
    evening = scene_of(PlateForm(light="shade", place="garden"), KIT, NOON.replace(hour=20))
    noon = scene_of(PlateForm(light="shade", place="garden"), KIT, NOON)
    assert evening is not None and noon is not None and evening.ev is not None and noon.ev is not None
    assert evening.ev < noon.ev and evening.ev_from == "light"


def test_bellows_need_the_focal_length() -> None:
    """The draw takes (draw / focal length)², by the kit's lens or by the length in the lens's name."""
    of_kit = scene_of(PlateForm(lens="brass portrait lens", draw="315"), KIT)
    by_name = scene_of(PlateForm(lens="300 mm tessar type", draw="45 cm"), Kit())
    for scene in (of_kit, by_name):
        assert scene is not None and scene.bellows == pytest.approx(math.log2(2.25), abs=0.001)
    unknown = PlateForm(lens="landscape lens", draw="450")
    assert "focal length of the lens is not known" in mistakes(unknown, KIT)["draw"]
    box = Kit(lenses=KIT.lenses, cameras=(Camera(name="box", longest_draw=400.0),))
    long = PlateForm(lens="brass portrait lens", draw="45 cm", camera="Box")
    assert mistakes(long, box) == {"draw": "box draws out to 400 mm, not to 450 mm"}
    assert mistakes(replace(long, draw="40 cm"), box) == mistakes(replace(long, draw=""), box) == {}
    short = PlateForm(lens="brass portrait lens", draw="150")
    assert "shorter than the focal length" in mistakes(short, KIT)["draw"]
    with pytest.raises(QuantityError):
        scene_of(short, KIT)
    assert mistakes(PlateForm(lens="brass portrait lens"), KIT) == {}


def test_filters_lose_light() -> None:
    """Stops or the factor on the filter are light lost, and add up."""
    scene = scene_of(PlateForm(filter="x2", other="1/2"), Kit())
    assert scene is not None and (scene.filter, scene.other, scene.lost) == (1.0, 0.5, 1.5)


def test_each_field_of_the_scene_is_checked() -> None:
    """A text that cannot be read is a mistake of its field, told before the plate is on the bench."""
    wrong = check(PlateForm(draw="long", filter="-1", ev="bright", other="99"))
    assert set(wrong) == {"draw", "filter", "ev", "other"}


def test_the_collodion_s_age_is_in_its_name() -> None:
    """The conditions of the form's plate are those that its journal will tell."""
    form = PlateForm(light="north window", aperture="f/4", collodion="C-4 2026-05-02", lens="")
    told = conditions_of(form, "Tintype", scene_of(form, KIT), "2026-06-21", 21.0)
    assert (told.process, told.batch, told.age, told.developer) == ("Tintype", "C-4 2026-05-02", 50.0, 21.0)
    assert (told.kind, told.ev, told.f_number, told.lens) == ("window", 9.5, 4.0, None)
